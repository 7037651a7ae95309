//! The scene without a window or display: a renderer of our own, pictures read back from it.

use crate::camera;
use crate::loaded::Loaded;
use crate::look::Look;
use crate::start::scene;
use bevy::camera::RenderTarget;
use bevy::log::LogPlugin;
use bevy::prelude::*;
use bevy::render::RenderPlugin;
use bevy::render::pipelined_rendering::PipelinedRenderingPlugin;
use bevy::render::render_resource::TextureFormat;
use bevy::render::renderer::initialize_renderer;
use bevy::render::settings::{Backends, RenderCreation, RenderResources, WgpuSettings};
use bevy::render::view::screenshot::{Screenshot, ScreenshotCaptured};
use bevy::window::ExitCondition;
use bevy::winit::WinitPlugin;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, Mutex};

/// Frames until light, shadow and paper have settled after a change.
const SETTLE: u32 = 3;
/// Frames to wait for a picture before giving up.
const PATIENCE: u32 = 200;

/// Runs what may panic deep in a driver or window system, without its message.
pub(crate) fn quietly(f: impl FnOnce()) -> Result<(), ()> {
    let hook = std::panic::take_hook();
    std::panic::set_hook(Box::new(|_| {}));
    let done = catch_unwind(AssertUnwindSafe(f)).map_err(drop);
    std::panic::set_hook(hook);
    done
}

/// Only what is wrong is logged.
pub(crate) fn quiet_log() -> LogPlugin {
    LogPlugin { level: bevy::log::Level::ERROR, filter: "wgpu=off,naga=off".to_owned(), ..default() }
}

/// A renderer on whatever draws here, or a sentence why there is none.
pub(crate) fn renderer() -> Result<RenderResources, String> {
    let mut got = None;
    let tried = quietly(|| {
        got = Some(bevy::tasks::block_on(initialize_renderer(
            Backends::from_env().unwrap_or(Backends::PRIMARY),
            None,
            &WgpuSettings::default(),
        )));
    });
    match (tried, got) {
        (Ok(()), Some(resources)) => Ok(resources),
        _ => Err("nothing here can draw: no graphics driver that speaks Vulkan, Metal or DX12 was found, or it is too \
                  old; on Linux the package mesa-vulkan-drivers draws without a graphics card"
            .to_owned()),
    }
}

/// The scene drawn into an image.
pub(crate) struct Studio {
    /// The app; its systems run with each [`Studio::frame`].
    pub(crate) app: App,
    image: Handle<Image>,
    /// What draws, as the driver names it.
    pub(crate) adapter: String,
}

impl Studio {
    /// Sets it up.
    pub(crate) fn new(loaded: Loaded, look: Look, size: (u32, u32), samples: Msaa) -> Result<Self, String> {
        let resources = renderer()?;
        let adapter = format!("{} ({:?})", resources.2.name, resources.2.backend).to_lowercase();
        let mut app = App::new();
        app.add_plugins(
            DefaultPlugins
                .set(WindowPlugin {
                    primary_window: None,
                    exit_condition: ExitCondition::DontExit,
                    ..default()
                })
                .set(RenderPlugin {
                    render_creation: RenderCreation::Manual(resources),
                    synchronous_pipeline_compilation: true,
                    ..default()
                })
                .set(quiet_log())
                .disable::<WinitPlugin>()
                .disable::<PipelinedRenderingPlugin>(),
        );
        let look = Look { panels: false, ..look };
        scene(&mut app, loaded, look);
        let image = app.world_mut().resource_mut::<Assets<Image>>().add(Image::new_target_texture(
            size.0,
            size.1,
            TextureFormat::Rgba8UnormSrgb,
            None,
        ));
        let target = RenderTarget::Image(image.clone().into());
        camera::spawn(&mut app.world_mut().commands(), &target, samples);
        app.world_mut().flush();
        app.finish();
        app.cleanup();
        Ok(Self { app, image, adapter })
    }

    /// One frame.
    pub(crate) fn frame(&mut self) {
        self.app.update();
    }

    /// A picture of the scene as it is now.
    pub(crate) fn picture(&mut self) -> Result<Image, String> {
        for _ in 0..SETTLE {
            self.frame();
        }
        let caught: Arc<Mutex<Option<Image>>> = Arc::default();
        let into = Arc::clone(&caught);
        self.app.world_mut().spawn(Screenshot::image(self.image.clone())).observe(
            move |shot: On<ScreenshotCaptured>| {
                if let Ok(mut slot) = into.lock() {
                    *slot = Some(shot.image.clone());
                }
            },
        );
        for _ in 0..PATIENCE {
            self.frame();
            if let Some(image) = caught.lock().ok().and_then(|mut slot| slot.take()) {
                return Ok(image);
            }
        }
        Err("the driver gave no picture back".to_owned())
    }

    /// The bytes of a PNG of the scene as it is now.
    pub(crate) fn png(&mut self) -> Result<Vec<u8>, String> {
        let image = self.picture()?;
        let (w, h) = (image.width(), image.height());
        let data = image.data.as_deref().ok_or("the driver gave an empty picture back")?;
        // Without the transparent channel, which pages and printers take badly.
        let rgb: Vec<u8> = data.chunks_exact(4).flat_map(|p| [p[0], p[1], p[2]]).collect();
        let mut bytes = Vec::new();
        let mut encoder = png::Encoder::new(&mut bytes, w, h);
        encoder.set_color(png::ColorType::Rgb);
        encoder.set_depth(png::BitDepth::Eight);
        encoder.set_compression(png::Compression::High);
        let told = |e: png::EncodingError| format!("the picture can't be packed: {e}");
        encoder.write_header().and_then(|mut w| w.write_image_data(&rgb)).map_err(told)?;
        Ok(bytes)
    }
}
