//! The built-in fonts: one for all text, one for characters the first lacks.

use std::sync::{Arc, OnceLock};

use epaint_default_fonts::{HACK_REGULAR, UBUNTU_LIGHT};
use resvg::usvg::fontdb::Database;

/// Family name of the first font, as the font itself states it.
pub(crate) const MAIN_FAMILY: &str = "Ubuntu";

/// Font data in the order in which characters are looked up.
pub(crate) const FONT_DATA: [&[u8]; 2] = [UBUNTU_LIGHT, HACK_REGULAR];

/// The fonts as the drawing library wants them; fonts of the machine are left out, so that a
/// picture is the same everywhere.
pub(crate) fn database() -> Arc<Database> {
    static DATABASE: OnceLock<Arc<Database>> = OnceLock::new();
    Arc::clone(DATABASE.get_or_init(|| {
        let mut database = Database::new();
        for data in FONT_DATA {
            database.load_font_data(data.to_vec());
        }
        database.set_sans_serif_family(MAIN_FAMILY);
        database.set_serif_family(MAIN_FAMILY);
        Arc::new(database)
    }))
}
