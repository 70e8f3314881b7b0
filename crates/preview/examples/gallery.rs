//! Writes the invented charts in both themes as PNG and SVG into the folder given.

#[path = "../tests/cases/mod.rs"]
mod cases;

use std::error::Error;
use std::path::PathBuf;

use evenhand_preview::{Theme, response_svg, svg_to_png};

fn main() -> Result<(), Box<dyn Error>> {
    let folder = PathBuf::from(std::env::args_os().nth(1).ok_or("name a folder")?);
    std::fs::create_dir_all(&folder)?;
    for (name, chart) in cases::all() {
        for (theme, word) in [(Theme::Light, "light"), (Theme::Dark, "dark")] {
            let svg = response_svg(&chart, theme);
            std::fs::write(folder.join(format!("{name}-{word}.svg")), &svg)?;
            std::fs::write(
                folder.join(format!("{name}-{word}.png")),
                svg_to_png(&svg, 1.0)?,
            )?;
        }
    }
    Ok(())
}
