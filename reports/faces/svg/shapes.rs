//! Figures as SVG: the drawing library draws into a list of shapes, each with its ink, and the list
//! is written when the figure's ground is known.

use std::convert::Infallible;
use std::fmt::Write;

use plotters_backend::text_anchor::HPos;
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind,
};

use super::drawing::{FINE, TYPE};
use super::ink::{Ground, Ink};
use crate::faces::xml::escaped;

/// The library gives type as 1/1.24 of the size asked for.
pub(super) const TYPE_COMES_OUT: f64 = 1.24;

/// Size of the type of a drawing, fine units.
pub(super) const USUAL: f64 = TYPE * FINE;

type Drawn = Result<(), DrawingErrorKind<Infallible>>;

/// A shape, in fine units.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Shape {
    form: Form,
    ink: Ink,
    /// From nothing, 0, to the ink itself, 1.
    opacity: f64,
}

#[derive(Debug, Clone, PartialEq)]
enum Form {
    /// Upper left and lower right corners.
    Rectangles(Vec<[BackendCoord; 2]>),
    /// Circles of this radius.
    Circles(Vec<BackendCoord>, u32),
    Polygon(Vec<BackendCoord>),
    /// Lines of this width.
    Lines(Vec<Vec<BackendCoord>>, u32),
    Text {
        text: String,
        place: BackendCoord,
        anchor: &'static str,
        size: f64,
    },
}

impl Shape {
    /// As it looks on a ground; `figure` is the name that hatchings begin with.
    pub(super) fn write(&self, out: &mut String, ground: Ground, figure: &str) {
        let paint = self.ink.0.on(ground);
        let fill = self.ink.hatching(figure).map_or_else(
            || paint.to_owned(),
            |hatching| format!("url(#{})", hatching.id),
        );
        let opacity = match self.opacity {
            1.0 => String::new(),
            opacity => format!(" opacity=\"{opacity}\""),
        };
        let points = |places: &[BackendCoord]| {
            let points: Vec<String> = places.iter().map(|(x, y)| format!("{x},{y}")).collect();
            points.join(" ")
        };
        // writing into memory does not fail
        let _ = match &self.form {
            Form::Rectangles(corners) => match corners.as_slice() {
                [[(left, top), (right, bottom)]] => write!(
                    out,
                    "<rect x=\"{left}\" y=\"{top}\" width=\"{}\" height=\"{}\"{opacity} \
                     fill=\"{fill}\"/>",
                    right - left,
                    bottom - top
                ),
                // many are written shorter, as one path
                _ => {
                    let mut path = Path::default();
                    for [(left, top), (right, bottom)] in corners {
                        let [wide, high] = [right - left, bottom - top];
                        path.begin((*left, *top));
                        // which ends where it began
                        path.text += &format!("h{wide}v{high}h{}z", -wide);
                    }
                    let round = path.text;
                    write!(out, "<path{opacity} fill=\"{fill}\" d=\"{round}\"/>")
                }
            },
            Form::Circles(centres, radius) => match centres.as_slice() {
                [(x, y)] => write!(
                    out,
                    "<circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\"{opacity} fill=\"{fill}\"/>"
                ),
                // many are written shorter: lines of no length with round ends
                _ => {
                    let mut path = Path::default();
                    for centre in centres {
                        path.line(&[*centre, *centre]);
                    }
                    write!(
                        out,
                        "<path{opacity} stroke=\"{paint}\" stroke-linecap=\"round\" \
                         stroke-width=\"{}\" d=\"{}\"/>",
                        2 * radius,
                        path.text
                    )
                }
            },
            Form::Polygon(places) => write!(
                out,
                "<polygon{opacity} fill=\"{fill}\" points=\"{}\"/>",
                points(places)
            ),
            Form::Lines(lines, width) => {
                let mut path = Path::default();
                for places in lines {
                    path.line(places);
                }
                write!(
                    out,
                    "<path fill=\"none\"{opacity} stroke=\"{paint}\"{} stroke-width=\"{width}\" \
                     d=\"{}\"/>",
                    self.ink.dashes(),
                    path.text
                )
            }
            Form::Text {
                text,
                place: (x, y),
                anchor,
                size,
            } => {
                // from the start unless said otherwise
                let anchor = match *anchor {
                    "start" => String::new(),
                    other => format!(" text-anchor=\"{other}\""),
                };
                // the size of the drawing itself unless said otherwise
                let size = match size.round() {
                    same if same == USUAL => String::new(),
                    other => format!(" font-size=\"{other}\""),
                };
                write!(
                    out,
                    "<text x=\"{x}\" y=\"{y}\" dy=\"0.5ex\"{anchor}{size}{opacity} \
                     fill=\"{fill}\">{}</text>",
                    escaped(text)
                )
            }
        };
        out.push('\n');
    }

    /// The same, further down.
    pub(super) fn lower(mut self, by: f64) -> Self {
        let by = (by * FINE).round() as i32;
        let each = |places: &mut Vec<BackendCoord>| places.iter_mut().for_each(|(_, y)| *y += by);
        match &mut self.form {
            Form::Rectangles(corners) => {
                for (_, y) in corners.as_flattened_mut() {
                    *y += by;
                }
            }
            Form::Circles(places, _) | Form::Polygon(places) => each(places),
            Form::Lines(lines, _) => lines.iter_mut().for_each(each),
            Form::Text { place: (_, y), .. } => *y += by,
        }
        self
    }

    /// What it is drawn with.
    pub(super) fn ink(&self) -> Ink {
        self.ink
    }
}

/// Takes down what the library draws.
pub(super) struct Shapes<'a> {
    pub(super) size: (u32, u32),
    pub(super) drawn: &'a mut Vec<Shape>,
}

impl Shapes<'_> {
    fn draw(&mut self, form: Form, colour: BackendColor) -> Drawn {
        let (ink, opacity) = (Ink::of(colour.rgb), colour.alpha);
        // what follows its like is one shape with it
        let last = self.drawn.last_mut();
        let like = last.filter(|last| (last.ink, last.opacity) == (ink, opacity));
        match (like.map(|last| &mut last.form), form) {
            (Some(Form::Circles(all, radius)), Form::Circles(more, its)) if *radius == its => {
                all.extend(more);
            }
            (Some(Form::Lines(all, width)), Form::Lines(more, its)) if *width == its => {
                all.extend(more);
            }
            (Some(Form::Rectangles(all)), Form::Rectangles(more)) => all.extend(more),
            (_, form) => self.drawn.push(Shape { form, ink, opacity }),
        }
        Ok(())
    }
}

impl DrawingBackend for Shapes<'_> {
    type ErrorType = Infallible;

    fn get_size(&self) -> (u32, u32) {
        self.size
    }

    fn ensure_prepared(&mut self) -> Drawn {
        Ok(())
    }

    fn present(&mut self) -> Drawn {
        Ok(())
    }

    fn draw_pixel(&mut self, (x, y): BackendCoord, colour: BackendColor) -> Drawn {
        self.draw(Form::Rectangles(vec![[(x, y), (x + 1, y + 1)]]), colour)
    }

    fn draw_line<S: BackendStyle>(
        &mut self,
        from: BackendCoord,
        to: BackendCoord,
        style: &S,
    ) -> Drawn {
        self.draw_path([from, to], style)
    }

    fn draw_rect<S: BackendStyle>(
        &mut self,
        upper_left: BackendCoord,
        lower_right: BackendCoord,
        style: &S,
        fill: bool,
    ) -> Drawn {
        if fill {
            let corners = vec![[upper_left, lower_right]];
            return self.draw(Form::Rectangles(corners), style.color());
        }
        let ((left, top), (right, bottom)) = (upper_left, lower_right);
        let round = [(left, top), (right, top), (right, bottom), (left, bottom)];
        self.draw_path(round.into_iter().chain([upper_left]), style)
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        let places = path.into_iter().collect();
        self.draw(
            Form::Lines(vec![places], style.stroke_width()),
            style.color(),
        )
    }

    fn draw_circle<S: BackendStyle>(
        &mut self,
        centre: BackendCoord,
        radius: u32,
        style: &S,
        _: bool,
    ) -> Drawn {
        self.draw(Form::Circles(vec![centre], radius), style.color())
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        self.draw(Form::Polygon(path.into_iter().collect()), style.color())
    }

    fn draw_text<S: BackendTextStyle>(
        &mut self,
        text: &str,
        style: &S,
        place: BackendCoord,
    ) -> Drawn {
        let anchor = match style.anchor().h_pos {
            HPos::Left => "start",
            HPos::Center => "middle",
            HPos::Right => "end",
        };
        let size = style.size() / TYPE_COMES_OUT;
        let text = text.to_owned();
        self.draw(
            Form::Text {
                text,
                place,
                anchor,
                size,
            },
            style.color(),
        )
    }
}

/// A path as it is written, as short as can be.
#[derive(Default)]
struct Path {
    text: String,
    /// Where it has come to.
    at: Option<BackendCoord>,
}

impl Path {
    /// A line from place to place.
    fn line(&mut self, places: &[BackendCoord]) {
        if let Some((first, others)) = places.split_first() {
            self.begin(*first);
            for place in others {
                self.step(*place);
            }
        }
    }

    /// Goes there without a line: by steps from where it is, or by the place itself.
    fn begin(&mut self, (x, y): BackendCoord) {
        let place = pair('M', x, y);
        let steps = self.at.map(|(from, above)| pair('m', x - from, y - above));
        let steps = steps.filter(|steps| steps.len() < place.len());
        self.text += &steps.unwrap_or(place);
        self.at = Some((x, y));
    }

    fn step(&mut self, (x, y): BackendCoord) {
        let (from, above) = self.at.unwrap_or_default();
        self.text += &match (x - from, y - above) {
            (across, 0) => format!("h{across}"),
            (0, down) => format!("v{down}"),
            (across, down) => pair('l', across, down),
        };
        self.at = Some((x, y));
    }
}

/// A command of a path with two figures; a sign divides them as well as a blank.
fn pair(command: char, x: i32, y: i32) -> String {
    match y {
        ..0 => format!("{command}{x}{y}"),
        _ => format!("{command}{x} {y}"),
    }
}
