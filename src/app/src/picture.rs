//! Figures as files: SVG that carries its own styles, or PNG drawn from it, in the light colours.

use js_sys::Promise;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    Blob, CanvasRenderingContext2d, Element, HtmlCanvasElement, HtmlImageElement, Url,
    XmlSerializer,
};

use crate::{dom, files};

/// The colours by name; the light ones lead.
const TOKENS: &str = include_str!("../../../styles/tokens.css");
/// How the parts of a figure look.
const STYLES: &str = include_str!("../../../styles/figures.css");
/// Picture elements of a PNG for each unit of a figure: sharp in print at the width of a column.
const SCALE: f64 = 3.0;
/// Height of the title above a figure.
const HEAD: f64 = 32.0;

/// A format of pictures.
#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Format {
    /// Lines and text.
    Svg,
    /// Picture elements.
    Png,
}

impl Format {
    /// Hands a figure out as a file named after what it shows; what there is to say then.
    pub(crate) async fn hand_out(self, svg: &Element, name: &str) -> &'static str {
        let name = files::stem(name, "figure");
        let done = match self {
            Format::Svg => drawing(svg)
                .and_then(|text| files::blob(&text, "image/svg+xml"))
                .and_then(|blob| files::download(&format!("{name}.svg"), &blob)),
            Format::Png => match elements(svg).await {
                Ok(blob) => files::download(&format!("{name}.png"), &blob),
                Err(error) => Err(error),
            },
        };
        match done {
            Ok(()) => "The picture is among the downloads.",
            Err(_) => {
                "This browser did not make the picture. Take a screenshot, or print the record."
            }
        }
    }
}

/// The figure as a drawing that stands alone.
fn drawing(svg: &Element) -> Result<String, JsValue> {
    let text = XmlSerializer::new()?.serialize_to_string(svg)?;
    let [width, height] = size(svg);
    let title = svg
        .query_selector("title")?
        .and_then(|title| title.text_content());
    let title = escaped(&title.unwrap_or_default());
    let whole = text.strip_prefix("<svg").and_then(|rest| {
        let (_, inside) = rest.split_once('>')?;
        let inside = inside.strip_suffix("</svg>")?;
        Some(format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" \
             viewBox=\"0 -{HEAD} {width} {height}\" role=\"img\"><style><![CDATA[{}]]></style>\
             <rect y=\"-{HEAD}\" width=\"100%\" height=\"100%\" fill=\"#ffffff\"/><g class=\"curve\">\
             <text class=\"picture-title\" x=\"8\" y=\"-10\">{title}</text>{inside}</g></svg>\n",
            styles()
        ))
    });
    whole.ok_or(JsValue::NULL)
}

/// A text as it stands in XML.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;")
}

/// Width and height of a figure with its title above, as its view box says.
fn size(svg: &Element) -> [f64; 2] {
    let numbers = svg.get_attribute("viewBox").unwrap_or_default();
    let mut numbers = numbers.split(' ').skip(2).map(str::parse);
    let [width, height] = [(); 2].map(|()| numbers.next().and_then(Result::ok).unwrap_or(480.0));
    [width, height + HEAD]
}

/// The styles of figures with the light colours in place of their names, which few programs know. The place that someone
/// reads just now is no part of the picture.
fn styles() -> String {
    let light = TOKENS.split_once('}').map_or("", |(light, _)| light);
    let named = light.lines().filter_map(|line| {
        let (name, value) = line.trim().strip_suffix(';')?.split_once(": ")?;
        Some((format!("var({name})"), value))
    });
    let styles = STYLES.to_owned()
        + ".cross { display: none; } .curve .picture-title { font-weight: 600; font-size: 15px; }";
    named.fold(styles, |styles, (name, value)| styles.replace(&name, value))
}

/// The figure as picture elements.
async fn elements(svg: &Element) -> Result<Blob, JsValue> {
    let [width, height] = size(svg).map(|length| SCALE * length);
    let drawing = files::blob(&drawing(svg)?, "image/svg+xml")?;
    let address = Url::create_object_url_with_blob(&drawing)?;
    let image = HtmlImageElement::new()?;
    image.set_src(&address);
    let loaded = JsFuture::from(image.decode()).await;
    // The picture is in memory by now; failing to free its address costs nothing but memory.
    let _ = Url::revoke_object_url(&address);
    loaded?;
    let document = dom::document().ok_or(JsValue::NULL)?;
    let canvas: HtmlCanvasElement = document.create_element("canvas")?.unchecked_into();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "figures are a few hundred units wide; `as` saturates"
    )]
    let whole = |length: f64| length as u32;
    canvas.set_width(whole(width));
    canvas.set_height(whole(height));
    let context = canvas.get_context("2d")?.ok_or(JsValue::NULL)?;
    let context: CanvasRenderingContext2d = context.unchecked_into();
    context.draw_image_with_html_image_element_and_dw_and_dh(&image, 0.0, 0.0, width, height)?;
    let blob = JsFuture::from(Promise::new(&mut |done, failed| {
        if let Err(error) = canvas.to_blob(&done) {
            // The promise has no other way to learn of it; calling its own function cannot fail.
            let _ = failed.call1(&JsValue::NULL, &error);
        }
    }))
    .await?;
    blob.dyn_into()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_picture_names_no_colour_that_only_the_page_knows() {
        let styles = styles();
        assert!(!styles.contains("var("), "{styles}");
        assert!(styles.contains("stroke: #15171a"), "{styles}");
    }
}
