//! What a person does who has a keyboard and no mouse.

use serde::Deserialize;
use thirtyfour::Key;
use thirtyfour::TypingData;

use crate::page::Page;
use crate::wait::until;

/// More stops than any page of ours has; beyond it, what is looked for cannot be reached by keyboard.
const MOST_STOPS: usize = 600;

/// Where the focus is.
#[derive(Debug, Deserialize)]
pub(crate) struct Focus {
    /// The title of the card around it; empty outside of cards.
    pub(crate) card: String,
    /// Its identifier.
    pub(crate) id: String,
    /// What it is called.
    pub(crate) name: String,
    /// What is in it, or the option that is chosen.
    pub(crate) value: String,
}

const FOCUS: &str = "
    const element = document.activeElement;
    const card = element.closest('main.hand > section');
    const name = element === document.body ? '' : nameOf(element);
    return { card: card ? nameOf(card) : '', id: element.id, name, value: valueOf(element) };
";

/// Which way to go from stop to stop.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Way {
    /// Tab.
    On,
    /// Shift and Tab.
    Back,
}

impl Page {
    /// Where the focus is.
    pub(crate) async fn focus(&self) -> Focus {
        self.ask(FOCUS).await
    }

    /// Presses a key while another is held down.
    pub(crate) async fn chord(&self, held: Key, key: char) {
        let chain = self.browser.action_chain().key_down(held.clone());
        let chain = chain.send_keys(key.to_string()).key_up(held);
        chain.perform().await.unwrap();
    }

    /// Presses a key, or types a text, where the focus is.
    pub(crate) async fn press(&self, keys: impl Into<TypingData>) {
        self.browser
            .action_chain()
            .send_keys(keys)
            .perform()
            .await
            .unwrap();
    }

    /// Goes from stop to stop until the focus is on what is called this, on this card ("" for outside of cards).
    /// The name may go on with a symbol or with "needed".
    pub(crate) async fn go(&self, way: Way, card: &str, name: &str) {
        for _ in 0..MOST_STOPS {
            match way {
                Way::On => self.press(Key::Tab).await,
                Way::Back => self.chord(Key::Shift, Key::Tab.value()).await,
            }
            let focus = self.focus().await;
            if focus.card == card && focus.name.starts_with(name) {
                return;
            }
        }
        panic!("“{name}” on “{card}” is not reached by keyboard");
    }

    /// Goes to a button and presses it.
    pub(crate) async fn push(&self, way: Way, card: &str, name: &str) {
        self.go(way, card, name).await;
        self.press(Key::Enter).await;
    }

    /// Goes on to a box and types into it.
    pub(crate) async fn fill(&self, card: &str, name: &str, text: &str) {
        self.go(Way::On, card, name).await;
        self.press(text).await;
        let value = self.focus().await.value;
        assert_eq!(value, text, "in “{name}” on “{card}”");
    }

    /// Goes on to a list and steps down to an option.
    pub(crate) async fn choose(&self, card: &str, name: &str, option: &str) {
        self.go(Way::On, card, name).await;
        let mut before = None;
        loop {
            let now = self.focus().await.value;
            if now == option {
                return;
            }
            assert_ne!(before, Some(now.clone()), "“{name}” has no “{option}”");
            self.press(Key::Down).await;
            before = Some(now);
        }
    }

    /// Adds a card from the list of calculators, with the keyboard alone, and ends on that card.
    pub(crate) async fn add_card(&self, calculator: &str) {
        let first = self.titles().await.is_empty();
        if !first {
            self.push(Way::Back, "", "Add a card").await;
            self.dialog("Add a card").await;
        }
        self.push(Way::On, "", calculator).await;
        let on_it = async || (self.focus().await.card == calculator).then_some(());
        until("the focus on the new card", on_it).await;
    }

    /// Links an entry to a number of another card through the picker, with the keyboard alone, and ends on it.
    pub(crate) async fn link(&self, card: &str, entry: &str, offer: &str) {
        let button = format!("Link {entry} to another card");
        self.push(Way::On, card, &button).await;
        self.dialog(&format!("Link {entry}")).await;
        self.push(Way::On, "", offer).await;
        let on_it = async || {
            let focus = self.focus().await;
            (focus.card == card && focus.name.contains(offer)).then_some(())
        };
        until(&format!("the focus on {entry}"), on_it).await;
    }

    /// Pastes a text in the place of all that is in a box.
    pub(crate) async fn paste_over(&self, card: &str, name: &str, text: &str) {
        self.click_label(card, name).await;
        self.chord(Key::Control, 'a').await;
        self.copy(text).await;
        self.chord(Key::Control, 'v').await;
        let pasted = async || (self.focus().await.value == text).then_some(());
        until("the pasted text", pasted).await;
    }

    /// Puts a text on the clipboard and presses Ctrl and V.
    pub(crate) async fn paste(&self, card: &str, name: &str, text: &str) {
        self.go(Way::On, card, name).await;
        self.copy(text).await;
        self.chord(Key::Control, 'v').await;
        let pasted = async || (self.focus().await.value == text).then_some(());
        until("the pasted text", pasted).await;
    }
}
