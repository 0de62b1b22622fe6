//! What this device does for the page: how bright it is, what is kept and how safely.

use yew::prelude::*;

use crate::dom;
use crate::look::Look;
use crate::storage::Space;

pub(super) fn device(space: Option<&Space>, persists: Option<bool>) -> Html {
    let chosen = Look::chosen();
    let choose = Callback::from(|event: Event| Look::named(&dom::value(&event)).choose());
    let option = |look: Look| {
        html! { <option value={look.id()} selected={look == chosen}>{ look.title() }</option> }
    };
    let kept = match persists {
        Some(true) => "The browser keeps it until you delete it.",
        Some(false) => {
            "The browser may clear it when the device runs out of space: export what matters."
        }
        None => "Whether the browser may clear it is not known: export what matters.",
    };
    html! {
        <section class="device" aria-labelledby="device-title">
            <h3 id="device-title">{ "This device" }</h3>
            <div class="look">
                <label for="look">{ "Look" }</label>
                <select id="look" onchange={choose}>{ for Look::ALL.into_iter().map(option) }</select>
            </div>
            if let Some(space) = space {
                <p>{ format!("Space used: {} of {}. {kept}", size(space.used), size(space.quota)) }</p>
            } else {
                <p>{ kept }</p>
            }
        </section>
    }
}

/// A number of bytes in words.
fn size(bytes: f64) -> String {
    let (number, unit) = if bytes < 1e6 {
        (bytes / 1e3, "kB")
    } else if bytes < 1e9 {
        (bytes / 1e6, "MB")
    } else {
        (bytes / 1e9, "GB")
    };
    let digits = usize::from(number < 9.95);
    format!("{number:.digits$}\u{202F}{unit}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_read_well() {
        let sizes = [0.0, 1234.0, 45_600.0, 1.5e6, 2.34e9, 123e9].map(size);
        let plain = sizes.map(|size| size.replace('\u{202F}', " "));
        assert_eq!(
            plain,
            ["0.0 kB", "1.2 kB", "46 kB", "1.5 MB", "2.3 GB", "123 GB"]
        );
    }
}
