//! What is round every figure: its title, the picture, what goes below, and the buttons that save it.

use web_sys::Element;
use yew::platform::spawn_local;
use yew::prelude::*;

use crate::picture::Format;

#[derive(PartialEq, Properties)]
pub(super) struct FrameProps {
    /// The title of the card, which leads the name of a saved picture.
    pub(super) card: AttrValue,
    pub(super) title: AttrValue,
    /// What the picture shows, in words.
    pub(super) described: AttrValue,
    pub(super) width: f64,
    pub(super) height: f64,
    /// What stands in the picture.
    pub(super) picture: Html,
    /// What stands below it.
    #[prop_or_default]
    pub(super) children: Html,
    /// Where a pointer touches the picture, across, as a share of its width.
    #[prop_or_default]
    pub(super) touched: Callback<f64>,
}

#[component]
pub(super) fn Frame(props: &FrameProps) -> Html {
    let svg = use_node_ref();
    let said = use_state_eq(|| "");
    let touch = {
        let (svg, touched) = (svg.clone(), props.touched.clone());
        Callback::from(move |event: PointerEvent| {
            let Some(svg) = svg.cast::<Element>() else {
                return;
            };
            // A mouse reads as it passes, a finger where it is put down: moving it scrolls the page.
            let place = svg.get_bounding_client_rect();
            if place.width() > 0.0 {
                touched.emit((f64::from(event.client_x()) - place.left()) / place.width());
            }
        })
    };
    let save = |format: Format, words: &'static str| {
        let (svg, said) = (svg.clone(), said.setter());
        let name = format!("{} {}", props.card, props.title);
        let onclick = Callback::from(move |_: MouseEvent| {
            let Some(svg) = svg.cast::<Element>() else {
                return;
            };
            let (said, name) = (said.clone(), name.clone());
            spawn_local(async move { said.set(format.hand_out(&svg, &name).await) });
        });
        html! {
            <button type="button" class="quiet" aria-label={format!("{words}: {}", props.title)} {onclick}>{ words }</button>
        }
    };
    html! {
        <figure class="curve">
            <figcaption>{ &props.title }</figcaption>
            <svg ref={svg.clone()} viewBox={format!("0 0 {} {}", props.width, props.height)} role="img"
                onpointerdown={touch.clone()} onpointermove={touch}>
                <title>{ &props.title }</title>
                <desc>{ &props.described }</desc>
                { props.picture.clone() }
            </svg>
            { props.children.clone() }
            <div class="actions">
                { save(Format::Svg, "Save as SVG") }
                { save(Format::Png, "Save as PNG") }
            </div>
            <p class="said" role="status">{ *said }</p>
        </figure>
    }
}
