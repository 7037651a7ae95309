//! What pipe is made of.

choice! {
    /// What a pipe or fitting is made of.
    pub enum Material {
        /// Schedule 40 PVC, DWV.
        Pvc = "pvc",
        /// Schedule 40 ABS, DWV.
        Abs = "abs",
        /// Thin-wall 3 in PVC DWV, made to stand in a 2x4 wall.
        PvcThin = "pvc_thin",
        /// Cast iron, hub and spigot.
        Iron = "iron",
        /// Cast iron, hubless.
        IronHubless = "iron_hubless",
        /// Copper DWV tube.
        CopperDwv = "copper_dwv",
        /// Copper water tube.
        Copper = "copper",
        /// Cross-linked polyethylene water tube.
        Pex = "pex",
    }
}
