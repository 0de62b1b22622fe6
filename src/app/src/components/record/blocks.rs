//! The blocks that the record is laid out in. Each is one function, called for every block of its sort: markup written
//! out anew in every place would be several times as much code on its way to the reader.

use yew::prelude::*;
use yew::virtual_dom::VText;

/// A text.
pub(super) fn words(text: impl Into<AttrValue>) -> Html {
    fn node(text: AttrValue) -> Html {
        VText::new(text).into()
    }
    node(text.into())
}

/// A text in a smaller line of its own.
pub(super) fn aside(text: String) -> Html {
    html! { <span class="typed-about">{ text }</span> }
}

/// A text whose line breaks count.
pub(super) fn free(text: &str) -> Html {
    html! { <span class="free">{ text }</span> }
}

/// A heading and what belongs under it.
pub(super) fn part(title: &'static str, content: Html) -> Html {
    html! { <div class="part"><h4>{ title }</h4>{ content }</div> }
}

/// Items of equal rank.
pub(super) fn list(items: Vec<Html>) -> Html {
    html! { <ul class="plain">{ for items.into_iter().map(|item| html! { <li>{ item }</li> }) }</ul> }
}

/// A table without a head: in each row a name and what is said of it.
pub(super) fn facts(rows: Vec<[Html; 2]>) -> Html {
    if rows.is_empty() {
        return Html::default();
    }
    html! { <div class="two"><table class="facts">{ body(rows.into_iter().map(Vec::from).collect()) }</table></div> }
}

/// A table with a head, and a caption where it has one. The first cell of each row names the row.
pub(super) fn columns(
    class: &'static str,
    caption: &'static str,
    heads: Vec<Html>,
    rows: Vec<Vec<Html>>,
) -> Html {
    if rows.is_empty() {
        return Html::default();
    }
    let head = |head: Html| html! { <th scope="col">{ head }</th> };
    html! {
        <div class="scroll" role="group" tabindex="0" aria-label={caption}>
            <table class={classes!("columns", class)}>
                <caption>{ caption }</caption>
                <thead><tr>{ for heads.into_iter().map(head) }</tr></thead>
                { body(rows) }
            </table>
        </div>
    }
}

/// Names of columns.
pub(super) fn heads<const N: usize>(names: [&'static str; N]) -> Vec<Html> {
    names.into_iter().map(words).collect()
}

fn body(rows: Vec<Vec<Html>>) -> Html {
    let row = |cells: Vec<Html>| {
        let cell = |(place, cell): (usize, Html)| {
            if place == 0 {
                html! { <th scope="row">{ cell }</th> }
            } else {
                html! { <td>{ cell }</td> }
            }
        };
        html! { <tr>{ for cells.into_iter().enumerate().map(cell) }</tr> }
    };
    html! { <tbody>{ for rows.into_iter().map(row) }</tbody> }
}
