//! What is set on a screen, as data: the fields of a form, with what each of them means.

/// Fields that belong together.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Controls {
    /// Their heading; none where it is empty.
    pub heading: String,
    /// What is said of them, a paragraph each.
    pub said: Vec<String>,
    /// The fields in order.
    pub fields: Vec<Control>,
    /// Whether they are shown only to those who ask for more.
    pub folded: bool,
}

/// One field.
#[derive(Debug, Clone, PartialEq)]
pub struct Control {
    /// What it is called in what is sent: a dotted key where it stands for one.
    pub name: String,
    /// What people call it.
    pub label: String,
    /// The key of a file that it stands for, where its label does not name it; else empty.
    pub key: String,
    /// What helps to fill it in; empty where nothing need be said.
    pub help: String,
    /// The unit behind it; empty where it has none.
    pub unit: String,
    /// How it is set.
    pub kind: ControlKind,
    /// What it stands at, as it is sent; empty where nothing is stated.
    pub value: String,
    /// What holds where it is left out or put back, in words with the unit.
    pub otherwise: Option<Otherwise>,
    /// What is wrong with what was filled in.
    pub problem: Option<String>,
}

/// What holds for a field that is left as it was.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Otherwise {
    /// The file states this.
    File(String),
    /// The file says nothing, and this is assumed.
    Assumed(String),
}

/// How a field is set.
#[derive(Debug, Clone, PartialEq)]
pub enum ControlKind {
    /// A figure on a rail from here to there, in steps.
    Slider {
        /// Left end.
        low: f64,
        /// Right end.
        high: f64,
        /// From stop to stop.
        step: f64,
    },
    /// One of these in order, on a rail that snaps to them: what is sent, and what is shown.
    Stops(Vec<(String, String)>),
    /// One of these: what is sent, and what is shown.
    Choice(Vec<(String, String)>),
    /// Yes or no: sent as `true` or `false`.
    Tick,
    /// A figure as people say it.
    Figure,
    /// Figures with a space between.
    Figures,
    /// Words.
    Words,
    /// Where the pattern lies up the profile, share of the tooth, + toward the top: touched on a
    /// drawn tooth, or said.
    Tooth,
}

impl ControlKind {
    /// An amount of money on a rail from nothing to this much at the least, in some fifty to five hundred
    /// round steps.
    pub fn of_money(most: f64) -> Self {
        let most = most.max(1.0);
        let step = 10_f64.powf((most / 50.0).log10().floor());
        Self::Slider {
            low: 0.0,
            high: (most / step).ceil() * step,
            step,
        }
    }
}

impl Control {
    /// A field with nothing in it.
    pub fn new(name: impl Into<String>, label: impl Into<String>, kind: ControlKind) -> Self {
        Self {
            name: name.into(),
            label: label.into(),
            key: String::new(),
            help: String::new(),
            unit: String::new(),
            kind,
            value: String::new(),
            otherwise: None,
            problem: None,
        }
    }

    /// The same, standing at this.
    pub fn at(mut self, value: impl Into<String>) -> Self {
        self.value = value.into();
        self
    }

    /// The same, with a unit behind it.
    pub fn unit(mut self, unit: impl Into<String>) -> Self {
        self.unit = unit.into();
        self
    }

    /// The same, with a word of help.
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = help.into();
        self
    }
}
