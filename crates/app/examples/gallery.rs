//! Opens the window on invented data, on a page by its name: `gallery [loops|margins|mission|..] [--dark] [--size WxH]`.

mod invented;

use app::{Page, Start, ThemeChoice};

fn main() -> Result<(), String> {
    let mut start = Start::new(invented::Invented::new());
    start.theme = ThemeChoice::Light;
    "circuit mission".clone_into(&mut start.choice.case.point);
    let mut arguments = std::env::args().skip(1);
    while let Some(argument) = arguments.next() {
        match argument.as_str() {
            "--dark" => start.theme = ThemeChoice::Dark,
            "--size" => start.size = size(&arguments.next().unwrap_or_default())?,
            name => {
                let page = Page::ALL.into_iter().find(|page| page.label().eq_ignore_ascii_case(name));
                start.page = page.ok_or_else(|| format!("there is no page `{name}`"))?;
            }
        }
    }
    app::run(start).map_err(|error| error.to_string())
}

fn size(text: &str) -> Result<[f32; 2], String> {
    let parsed = text.split_once('x').and_then(|(w, h)| Some([w.parse().ok()?, h.parse().ok()?]));
    parsed.ok_or_else(|| format!("`{text}` is not a size such as 1440x900"))
}
