//! Dealings with values of the browser in which everything may be missing, of another type, or throw.
//!
//! The database is called by name and not through typed bindings: only so does every call catch what it throws, and
//! the option for strict durability is not among the stable bindings.

use js_sys::{Array, Function, JSON, Object, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

/// A property; undefined where there is none or reading it throws.
pub(super) fn get(target: &JsValue, name: &str) -> JsValue {
    Reflect::get(target, &name.into()).unwrap_or(JsValue::UNDEFINED)
}

/// A property that is a text.
pub(super) fn text_in(target: &JsValue, name: &str) -> Option<String> {
    get(target, name).as_string()
}

/// A property that is a whole number.
pub(super) fn whole_in(target: &JsValue, name: &str) -> Option<u32> {
    let number = get(target, name).as_f64()?;
    (number.fract() == 0.0 && (0.0..=f64::from(u32::MAX)).contains(&number))
        .then_some(number as u32)
}

/// Sets a property. What refuses is not our own plain object, and then there is nothing to set.
pub(super) fn set(target: &JsValue, name: &str, value: &JsValue) {
    let _ = Reflect::set(target, &name.into(), value);
}

/// A plain object.
pub(super) fn object(properties: &[(&str, JsValue)]) -> JsValue {
    let object = JsValue::from(Object::new());
    for (name, value) in properties {
        set(&object, name, value);
    }
    object
}

/// Texts as a list.
pub(super) fn list<'a>(texts: impl Iterator<Item = &'a str>) -> JsValue {
    texts.map(JsValue::from_str).collect::<Array>().into()
}

/// The names and values of an object; none where it is none.
pub(super) fn entries(target: &JsValue) -> Array {
    target
        .dyn_ref::<Object>()
        .map(Object::entries)
        .unwrap_or_default()
}

/// A value that is a list; an empty one where it is none.
pub(super) fn array(value: &JsValue) -> Array {
    value.dyn_ref::<Array>().cloned().unwrap_or_default()
}

/// A text, or null.
pub(super) fn text_or_null(text: Option<&str>) -> JsValue {
    text.map_or(JsValue::NULL, JsValue::from_str)
}

/// Calls a method.
pub(super) fn call(
    target: &JsValue,
    method: &str,
    arguments: &[JsValue],
) -> Result<JsValue, JsValue> {
    let function = Reflect::get(target, &method.into())?.dyn_into::<Function>()?;
    function.apply(target, &arguments.iter().collect())
}

/// The next of the events that an object tells its handlers (`onsuccess`, …) of. It never rejects, so that nothing
/// is reported as unhandled where nobody waits any more; and it keeps no closure alive.
pub(super) fn event(target: &JsValue, handlers: &[&str]) -> JsFuture {
    JsFuture::from(Promise::new(&mut |resolve, _| {
        for handler in handlers {
            set(target, handler, &resolve);
        }
    }))
}

/// A value as JSON text.
pub(super) fn json(value: &JsValue) -> Option<String> {
    // What has no JSON (undefined, a function) comes back as undefined, not as a text.
    JsValue::from(JSON::stringify(value).ok()?).as_string()
}

/// JSON text as a value.
pub(super) fn parse(text: &str) -> Option<JsValue> {
    JSON::parse(text).ok()
}
