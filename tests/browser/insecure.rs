//! The page at an address that is public but not secure: no service worker, no clipboard, and a link to share. Its QR
//! code is read back by another program's decoder.

use std::fs;

use serde_json::{Value, json};

use crate::harness::{Setting, given, journey_in};
use crate::page::Page;
use crate::wait::until;

#[test]
fn at_an_address_that_is_not_secure_all_but_the_offline_copy_works() {
    let setting = Setting {
        arguments: &["--host-resolver-rules=MAP glasswick.test 127.0.0.1"],
        host: Some("glasswick.test"),
        ..Setting::default()
    };
    journey_in("insecure", &setting, async |page, _| {
        let secure: bool = page.ask("return isSecureContext;").await;
        assert!(!secure);
        page.says(
            "footer//p",
            "Needs the network: at this address, or in this browser, no offline copy can be kept. \
             An address that begins with https:// and a current browser can.",
        )
        .await;
        page.follow("New run sheet").await;
        page.follow("Dilution").await;
        page.opened().await;
        page.kept().await;
        page.reload().await;
        page.opened().await;
        let card = page.in_hand().await.unwrap();

        page.click("Share").await;
        page.dialog("Share this run sheet").await;
        let link = page.link_text().await;
        assert!(link.starts_with("http://glasswick.test:"), "{link}");
        assert_eq!(page.qr_text().await, link, "what the QR code says");
        page.click("Copy the link").await;
        page.says(
            "p",
            "This browser did not take it. Mark the text and copy it by hand, or send the file.",
        )
        .await;
        page.click("Close").await;

        let place = &link[link.find('#').unwrap()..];
        page.visit(place).await;
        page.says("strong", "A copy from a link, not saved.").await;
        assert_eq!(page.in_hand().await.unwrap(), card);

        // The demo's link is longer; whether it has a code or a reason, the link itself holds.
        page.demo().await;
        let cards = page.cards().await;
        page.click("Share").await;
        page.dialog("Share this run sheet").await;
        let link = page.link_text().await;
        let drawn: bool = page.ask("return !!document.querySelector('svg.qr');").await;
        if drawn {
            assert_eq!(page.qr_text().await, link, "what the demo's QR code says");
        } else {
            let reason: String = page
                .ask("return document.querySelector('dialog').innerText;")
                .await;
            assert!(reason.contains("No QR code: the link has"), "{reason}");
        }
        println!(
            "The demo's link has {} characters; QR code: {drawn}",
            link.len()
        );
        page.click("Close").await;
        page.visit(&link[link.find('#').unwrap()..]).await;
        page.says("strong", "A copy from a link, not saved.").await;
        assert_eq!(page.cards().await, cards);
    });
}

impl Page {
    /// The link in the share dialog.
    async fn link_text(&self) -> String {
        until("the link", async || {
            let script = "return document.getElementById('share-link')?.value ?? null;";
            self.ask::<Option<String>>(script).await
        })
        .await
    }

    /// What the decoder reads from the QR code in the share dialog, drawn as it is on the page.
    async fn qr_text(&self) -> String {
        let decoder = fs::read_to_string(given("GLASSWICK_JSQR")).unwrap();
        let script = "
            const svg = document.querySelector('svg.qr');
            const paint = part => getComputedStyle(svg.querySelector(part)).fill;
            const size = svg.viewBox.baseVal.width, scale = 6;
            const canvas = document.createElement('canvas');
            canvas.width = canvas.height = size * scale;
            const context = canvas.getContext('2d');
            context.scale(scale, scale);
            context.fillStyle = paint('.qr-light');
            context.fillRect(0, 0, size, size);
            context.fillStyle = paint('.qr-dark');
            context.fill(new Path2D(svg.querySelector('.qr-dark').getAttribute('d')));
            const { data, width, height } = context.getImageData(0, 0, canvas.width, canvas.height);
            return window.jsQR(data, width, height)?.data ?? null;
        ";
        self.browser.execute(decoder, Vec::new()).await.unwrap();
        let read = self.ask_with::<Value>(script, vec![json!(null)]).await;
        match read.as_str() {
            Some(text) => text.to_owned(),
            None => panic!("the decoder reads nothing"),
        }
    }
}
