//! The pattern a fit means, its ports by name, and which of them are plugged.

use super::build::Builder;
use super::trouble::JobFault;
use crate::catalog::pattern::Pattern;
use crate::job::pipes::Fit;
use crate::label::Label;

impl Builder<'_> {
    /// The pattern of a fit, with what was measured in the hand.
    pub(super) fn pattern(&mut self, fit: &Fit, path: &str) -> Option<Pattern> {
        let mut pattern = match self.catalog.pattern(fit.fit.as_str()) {
            Ok(pattern) => pattern.clone(),
            Err(unknown) => {
                self.faults.push(JobFault {
                    path: format!("{path}.fit"),
                    message: unknown.to_string(),
                    help: None,
                });
                return None;
            }
        };
        let job = self.job;
        for (i, measured) in job.in_hand.iter().enumerate() {
            let same = self.catalog.pattern(measured.fit.as_str()).is_ok_and(|p| p.name == pattern.name);
            if same {
                match pattern.with_laying(measured.port.as_str(), measured.laying, measured.socket) {
                    Ok(changed) => pattern = changed,
                    Err(e) => {
                        let path = format!("in_hand[{i}]");
                        let fault = JobFault { path, message: e.to_string(), help: None };
                        if !self.faults.contains(&fault) {
                            self.faults.push(fault);
                        }
                    }
                }
            }
        }
        Some(pattern)
    }

    pub(super) fn port_named(
        &mut self,
        pattern: &Pattern,
        name: Option<&Label>,
        usual: usize,
        path: &str,
    ) -> Option<usize> {
        let Some(name) = name else { return Some(usual) };
        let at = pattern.ports.iter().position(|p| p.name == *name);
        if at.is_none() {
            let known: Vec<Label> = pattern.ports.iter().map(|p| p.name.clone()).collect();
            self.unknown(path, &format!("port of a {} called", pattern.name), name, known.iter());
        }
        at
    }

    pub(super) fn plugs(
        &mut self,
        pattern: &Pattern,
        fit: &Fit,
        enter: usize,
        leave: Option<usize>,
        path: &str,
    ) -> Vec<usize> {
        let mut plugs = Vec::new();
        for (i, name) in fit.plugs.iter().enumerate() {
            let path = format!("{path}.plugs[{i}]");
            match self.port_named(pattern, Some(name), 0, &path) {
                Some(port) if port != enter && Some(port) != leave => plugs.push(port),
                Some(_) => self.faults.push(JobFault {
                    path,
                    message: format!("{name} can't be plugged: the run goes through it"),
                    help: None,
                }),
                None => {}
            }
        }
        plugs
    }
}
