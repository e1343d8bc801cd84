//! A page of text for a person at the bench.

/// Characters to a line.
pub(crate) const WIDTH: usize = 96;

/// Text being written, line by line.
#[derive(Debug, Default)]
pub(crate) struct Page {
    text: String,
}

impl Page {
    /// A line with a rule of its own length under it.
    pub(crate) fn heading(&mut self, words: &str, rule: char) {
        self.blank();
        self.line(words);
        self.line(&rule.to_string().repeat(words.chars().count()));
    }

    /// A line as it is.
    pub(crate) fn line(&mut self, words: &str) {
        self.text.push_str(words.trim_end());
        self.text.push('\n');
    }

    /// An empty line, unless there is one or nothing stands before it.
    pub(crate) fn blank(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    /// Words wrapped to the page: the first line led by `first`, the others set in as far.
    pub(crate) fn wrapped(&mut self, first: &str, words: &str) {
        let room = first.chars().count();
        let mut line = String::from(first);
        let mut empty = true;
        for word in words.split_whitespace() {
            if !empty && line.chars().count() + 1 + word.chars().count() > WIDTH {
                self.line(&line);
                line = " ".repeat(room);
                empty = true;
            }
            if !empty {
                line.push(' ');
            }
            line.push_str(word);
            empty = false;
        }
        self.line(&line);
    }

    /// The text.
    pub(crate) fn finish(self) -> String {
        self.text
    }
}

/// `1 board`, `3 boards`.
pub(crate) fn counted(count: usize, one: &str) -> String {
    if count == 1 { format!("1 {one}") } else { format!("{count} {one}s") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_words_wrap_under_their_first() {
        let mut page = Page::default();
        page.heading("Steps", '-');
        page.wrapped("  1. ", &"saw and plane ".repeat(10));
        let text = page.finish();
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines[..2], ["Steps", "-----"]);
        assert!(lines[2].starts_with("  1. saw") && lines[3].starts_with("     "), "{text}");
        assert!(lines.iter().all(|line| line.chars().count() <= WIDTH));
    }
}
