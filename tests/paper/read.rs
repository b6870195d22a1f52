//! Reads a page as a person would: tags away, characters back.

/// The text of a page's body, a blank between the texts of two tags.
pub fn text(page: &str) -> String {
    let body = page.split_once("<body>").unwrap().1;
    let mut text = String::new();
    let mut rest = body;
    while let Some((before, after)) = rest.split_once('<') {
        text.push_str(before);
        text.push(' ');
        rest = after.split_once('>').unwrap().1;
    }
    text.push_str(rest);
    one_blank(&unescape(&text))
}

fn unescape(text: &str) -> String {
    text.replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"")
        .replace("&amp;", "&")
}

/// Blanks and line ends as one blank each.
pub fn one_blank(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
