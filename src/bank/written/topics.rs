//! Topics as written.

use crate::bank::reading::group::form;
use crate::bank::reading::words::{ChoiceText, NameText, Text};
use crate::bank::reading::written::{List, Named};
use crate::bank::template::Objective;

form! {
    /// A file of topics.
    TopicsText is "a file of topics" with version {
        topics: Named<TopicText> = "the topics in the order of teaching, each under its id";
    }
}

form! {
    /// A topic.
    TopicText is "a topic" {
        title: Text = "its title for students";
        objective: ChoiceText<Objective> = "the objective it belongs to";
        builds_on: Option<List<NameText, 0>> = "the topics that come before it";
    }
}
