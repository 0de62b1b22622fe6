//! Published examples that need a budget or more than one card.
