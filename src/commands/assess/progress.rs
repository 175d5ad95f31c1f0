//! The bar on a terminal; elsewhere nothing, not even control characters.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressFinish, ProgressStyle};

/// How far one pass over the input is.
pub(in crate::commands) struct Progress {
    bar: ProgressBar,
}

impl Progress {
    /// A pass over so many bytes, where that is known.
    pub(in crate::commands) fn new(
        is_watched: bool,
        name: &'static str,
        length: Option<u64>,
    ) -> Self {
        if !is_watched {
            return Self { bar: ProgressBar::hidden() };
        }
        let template = match length {
            Some(_) => "{msg} {wide_bar} {bytes} of {total_bytes}, {eta} to go",
            None => "{msg} {bytes}",
        };
        let style =
            ProgressStyle::with_template(template).unwrap_or_else(|_| ProgressStyle::default_bar());
        let target = ProgressDrawTarget::stderr();
        let bar = ProgressBar::with_draw_target(length, target).with_style(style);
        let bar = bar.with_finish(ProgressFinish::AndClear);
        Self { bar: bar.with_message(name) }
    }

    /// So many bytes more are done.
    pub(super) fn advance(&self, bytes: usize) {
        self.bar.inc(u64::try_from(bytes).unwrap_or(0));
    }

    /// Lets something be said on the same terminal.
    pub(in crate::commands) fn aside(&self, say: impl FnOnce()) {
        self.bar.suspend(say);
    }

    /// Takes the bar away.
    pub(in crate::commands) fn end(self) {
        self.bar.finish_and_clear();
    }
}
