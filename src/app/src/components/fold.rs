//! A long part of a form that is folded away until it is wanted.

use yew::prelude::*;

use crate::dom;

#[derive(PartialEq, Properties)]
pub(crate) struct FoldProps {
    /// What stands there whether it is open or not.
    pub(crate) name: AttrValue,
    /// What is in it, in a few words.
    pub(crate) about: AttrValue,
    /// Whether it is open when it is first drawn.
    pub(crate) open: bool,
    /// Whether something in it asks for the person; it opens when that begins, and does not close by itself.
    pub(crate) needed: bool,
    pub(crate) children: Html,
}

#[component]
pub(crate) fn Fold(props: &FoldProps) -> Html {
    let open = use_state_eq(|| props.open);
    {
        let open = open.setter();
        use_effect_with(props.needed, move |needed| {
            if *needed {
                open.set(true);
            }
        });
    }
    let ontoggle = {
        let open = open.setter();
        Callback::from(move |event: Event| open.set(dom::is_open(&event)))
    };
    html! {
        <details class="fold" open={*open} {ontoggle}>
            <summary>
                <span class="row-name">{ &props.name }</span>
                if !props.about.is_empty() {
                    <span class="fold-about">{ &props.about }</span>
                }
            </summary>
            { props.children.clone() }
        </details>
    }
}
