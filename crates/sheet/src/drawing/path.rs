//! Path data, and the one place where a drawing's number becomes text.

use super::geometry::Point;

/// The `d` of an SVG path.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Path(String);

impl Path {
    /// A straight line through points.
    pub(crate) fn through(points: impl IntoIterator<Item = Point>) -> Self {
        let mut path = Self::default();
        for point in points {
            path.line(point);
        }
        path
    }

    /// Starts a line, also within a path.
    pub(crate) fn start(&mut self, at: Point) -> &mut Self {
        self.command("M", &[at])
    }

    /// Goes on straight; starts the path where it is empty.
    pub(crate) fn line(&mut self, to: Point) -> &mut Self {
        self.command(if self.0.is_empty() { "M" } else { "L" }, &[to])
    }

    /// Rounds a corner.
    pub(crate) fn corner(&mut self, corner: Point, to: Point) -> &mut Self {
        self.command("Q", &[corner, to])
    }

    /// Goes on along a cubic Bézier curve.
    pub(crate) fn curve(&mut self, second: Point, third: Point, to: Point) -> &mut Self {
        self.command("C", &[second, third, to])
    }

    /// Closes the outline.
    pub(crate) fn close(mut self) -> Self {
        self.0.push('Z');
        self
    }

    pub(crate) fn as_str(&self) -> &str {
        &self.0
    }

    fn command(&mut self, letter: &str, points: &[Point]) -> &mut Self {
        self.0.push_str(letter);
        self.0.push_str(&points.iter().map(|point| pair(*point)).collect::<Vec<_>>().join(" "));
        self
    }
}

/// Writes a place as path data has it.
pub(crate) fn pair(at: Point) -> String {
    format!("{} {}", number(at.x), number(at.y))
}

/// Writes a number with at most two decimals, which is a fiftieth of a hair's breadth on paper.
pub(crate) fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_two_decimals_at_most_and_no_negative_nothing() {
        let written = [1.0, 0.125, -0.001, 12.3, -2.506].map(number);
        assert_eq!(written, ["1", "0.12", "0", "12.3", "-2.51"]);
    }

    #[test]
    fn a_path_begins_where_its_first_line_goes() {
        let [a, b] = [Point { x: 0.0, y: 1.0 }, Point { x: 2.0, y: 1.5 }];
        assert_eq!(Path::through([a, b]).close().as_str(), "M0 1L2 1.5Z");
    }
}
