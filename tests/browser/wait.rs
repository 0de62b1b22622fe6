//! Waiting for what will be so in a moment.

use std::time::Duration;

use tokio::time::{MissedTickBehavior, interval, timeout};

/// How long anything on the page may take; generous, for machines that do other work.
const LIMIT: Duration = Duration::from_secs(20);
const BETWEEN_LOOKS: Duration = Duration::from_millis(25);

/// Looks again and again until the condition gives something, and gives that.
pub(crate) async fn until<T>(what: &str, mut look: impl AsyncFnMut() -> Option<T>) -> T {
    let looking = async {
        let mut ticks = interval(BETWEEN_LOOKS);
        ticks.set_missed_tick_behavior(MissedTickBehavior::Delay);
        loop {
            ticks.tick().await;
            if let Some(found) = look().await {
                return found;
            }
        }
    };
    match timeout(LIMIT, looking).await {
        Ok(found) => found,
        Err(_) => panic!("waited {} s in vain for {what}", LIMIT.as_secs()),
    }
}
