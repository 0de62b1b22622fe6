//! A link as a QR code, drawn here.

use qrcodegen::{QrCode, QrCodeEcc};

/// Beyond this version the squares are too small for a camera that looks at a tablet.
const HIGHEST_VERSION: u8 = 25;

/// The light border that readers need, in squares.
const BORDER: i32 = 4;

/// A QR code as the outline of its dark squares.
pub(crate) struct Drawing {
    /// Squares along an edge, the border included.
    pub(crate) size: i32,
    /// The path of the dark squares.
    pub(crate) path: String,
}

/// Draws a text; none where it would be too dense to be read from a screen.
pub(crate) fn draw(text: &str) -> Option<Drawing> {
    let code = QrCode::encode_text(text, QrCodeEcc::Medium).ok()?;
    if code.version().value() > HIGHEST_VERSION {
        return None;
    }
    let mut path = String::new();
    for y in 0..code.size() {
        let mut x = 0;
        while x < code.size() {
            let run = (x..code.size())
                .take_while(|x| code.get_module(*x, y))
                .count();
            let run = i32::try_from(run).unwrap_or(0);
            if run > 0 {
                path += &format!("M{} {}h{run}v1h-{run}z", x + BORDER, y + BORDER);
            }
            x += run.max(1);
        }
    }
    Some(Drawing {
        size: code.size() + 2 * BORDER,
        path,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dense_code_is_refused() {
        // Capacity of version 25 at level M in bytes: 997 (ISO/IEC 18004, table 7; from memory).
        assert!(draw(&"a".repeat(997)).is_some());
        assert!(draw(&"a".repeat(998)).is_none());
        let small = draw("a").unwrap();
        assert_eq!(small.size, 21 + 8);
        // The three finder patterns begin with a row of seven dark squares.
        assert!(small.path.starts_with("M4 4h7v1h-7z"), "{}", small.path);
    }
}
