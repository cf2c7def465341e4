//! A picture painted to a PNG file, with the fonts inside the program: it looks the same on every
//! machine.

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree};

/// The name of the fonts inside the program. They hold the marks of curves (●, ▲, ◇ …) too.
const FONT: &str = "DejaVu Sans";

/// The PNG file of an SVG document, with so many pixels for each of its CSS pixels: 1 or 2.
///
/// # Errors
///
/// Says what is wrong with the document.
pub fn png(svg: &str, ratio: u8) -> Result<Vec<u8>, String> {
    let mut options = Options {
        font_family: FONT.into(),
        ..Options::default()
    };
    let fonts = options.fontdb_mut();
    for font in [dejavu::sans::regular(), dejavu::sans::bold()] {
        fonts.load_font_data(font.to_vec());
    }
    fonts.set_sans_serif_family(FONT);
    let tree = Tree::from_str(svg, &options).map_err(|error| error.to_string())?;
    let ratio = f32::from(ratio);
    let size = tree.size();
    let size = size.scale_by(ratio).unwrap_or(size).to_int_size();
    let mut pixels = Pixmap::new(size.width(), size.height())
        .ok_or_else(|| "a picture without pixels".to_owned())?;
    resvg::render(
        &tree,
        Transform::from_scale(ratio, ratio),
        &mut pixels.as_mut(),
    );
    pixels.encode_png().map_err(|error| error.to_string())
}
