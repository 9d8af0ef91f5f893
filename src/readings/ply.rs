//! PLY point files: the vertices of one face, or of both with a property `face` (0 up, 1 down).
//!
//! The format is Greg Turk's *The PLY Polygon File Format* (Stanford, 1994): a header of text, then the elements that it
//! names, as text or in binary of either byte order. It knows no unit.

use ply_rs_bw::parser::{Parser, Reader};
use ply_rs_bw::ply::{
    ElementDef, Encoding, Header, Property, PropertyAccess, PropertyAccessResult,
};

use super::fault::{Collector, Problem};
use super::{Heights, Layout, Settings, probe};
use crate::length::{LONGEST_MM, Length};

const SAVE_AGAIN: &str = "copy it again, or save the points again as PLY";

/// One vertex.
#[derive(Debug, Clone, Copy)]
struct Vertex {
    point: [f64; 3],
    face: f64,
}

impl PropertyAccess for Vertex {
    fn new() -> Self {
        Self {
            point: [f64::NAN; 3],
            face: 0.0,
        }
    }

    fn set_property(&mut self, name: &str, property: Property) -> PropertyAccessResult {
        let to = match name {
            "x" => &mut self.point[0],
            "y" => &mut self.point[1],
            "z" => &mut self.point[2],
            "face" => &mut self.face,
            _ => return PropertyAccessResult::Ignored,
        };
        *to = match property {
            Property::Char(value) => value.into(),
            Property::UChar(value) => value.into(),
            Property::Short(value) => value.into(),
            Property::UShort(value) => value.into(),
            Property::Int(value) => value.into(),
            Property::UInt(value) => value.into(),
            Property::Float(value) => value.into(),
            Property::Double(value) => value,
            _ => return PropertyAccessResult::UnsupportedType,
        };
        PropertyAccessResult::Set
    }
}

/// Whether a file begins as PLY files do.
#[must_use]
pub fn is_ply(bytes: &[u8]) -> bool {
    bytes.starts_with(b"ply\n") || bytes.starts_with(b"ply\r")
}

/// Whether the header of a PLY file ends within these bytes, with which it begins.
pub(super) fn has_header(start: &[u8]) -> bool {
    start
        .split(|byte| matches!(byte, b'\n' | b'\r'))
        .any(|line| line == b"end_header")
}

/// Reads the vertices of a PLY file.
pub(super) fn read(
    bytes: &[u8],
    settings: Settings,
    fewest: usize,
    faults: &mut Collector,
) -> Option<Heights> {
    let parser = Parser::<Vertex>::new();
    let mut reader = Reader::new(bytes);
    let header = match parser.read_header(&mut reader) {
        Ok(header) => header,
        Err(error) => {
            let wrong = format!("its PLY header is damaged: {}", first_line(&error));
            faults.file(Problem::new(wrong, SAVE_AGAIN));
            return None;
        }
    };
    let mut rest = reader.into_inner();
    let vertices = vertices(&header, faults);
    if settings.unit.is_none() {
        let fix = "give --unit mm, or whatever the points are in";
        faults.file(Problem::new("a PLY file names no unit", fix));
    }
    let (vertices, unit) = (vertices?, settings.unit?);
    let mut heights = Heights {
        up: Vec::new(),
        down: Vec::new(),
        layout: Layout::Scattered,
        unit: Some(unit),
        step_mm: None,
    };
    // Also what follows the vertices is read: were they fewer than promised, it would be taken for some of them.
    for element in header.elements.values() {
        if element.count > rest.len() || element.properties.is_empty() && element.count > 0 {
            let wrong = format!(
                "its header promises {} of the element {}, more than the file can hold",
                element.count, element.name
            );
            faults.file(Problem::new(wrong, SAVE_AGAIN));
            return None;
        }
        for number in 1..=element.count {
            if faults.gives_up() {
                return None;
            }
            match next(&parser, &mut rest, element, header.encoding) {
                Ok(vertex) if element.name == vertices.name => {
                    take(&vertex, number, settings, &mut heights, faults);
                }
                Ok(_) => {}
                Err(why) => {
                    let (name, count) = (&element.name, element.count);
                    let wrong = format!("{name} {number} of {count} cannot be read: {why}");
                    faults.file(Problem::new(wrong, SAVE_AGAIN));
                    return None;
                }
            }
        }
    }
    if !rest.trim_ascii().is_empty() {
        let wrong = "the file goes on after all that its header promises";
        faults.file(Problem::new(wrong, SAVE_AGAIN));
    }
    let needs = format!("a point file needs {fewest} or more");
    probe::check_places(&heights, fewest, &needs, faults);
    Some(heights)
}

/// The element of the vertices.
fn vertices<'h>(header: &'h Header, faults: &mut Collector) -> Option<&'h ElementDef> {
    let Some(vertices) = header.elements.get("vertex") else {
        let wrong = "the PLY file has no element vertex";
        faults.file(Problem::new(
            wrong,
            "save the points of the face as its vertices",
        ));
        return None;
    };
    let missing = |name: &&&str| !vertices.properties.contains_key(**name);
    let missing: Vec<&str> = ["x", "y", "z"].iter().filter(missing).copied().collect();
    if missing.is_empty() {
        return Some(vertices);
    }
    let wrong = format!("its vertices have no property {}", missing.join(" and no "));
    faults.file(Problem::new(wrong, "save the points with x, y and z"));
    None
}

/// The next element of the file, or why there is none.
fn next(
    parser: &Parser<Vertex>,
    rest: &mut &[u8],
    element: &ElementDef,
    encoding: Encoding,
) -> Result<Vertex, String> {
    let read = match encoding {
        Encoding::Ascii => {
            let end = rest.iter().position(|byte| *byte == b'\n');
            let (line, after) = rest.split_at(end.map_or(rest.len(), |end| end + 1));
            *rest = after;
            let line = std::str::from_utf8(line).map_err(|_| "it is no text".to_owned())?;
            if line.is_empty() {
                return Err("the file ends before it".to_owned());
            }
            parser.read_ascii_element(line.trim_end(), element)
        }
        Encoding::BinaryBigEndian => parser.read_big_endian_element(rest, element),
        Encoding::BinaryLittleEndian => parser.read_little_endian_element(rest, element),
    };
    read.map_err(|error| first_line(&error))
}

/// Puts a vertex with the face that it lies on.
fn take(
    vertex: &Vertex,
    number: usize,
    settings: Settings,
    heights: &mut Heights,
    faults: &mut Collector,
) {
    let Some(unit) = settings.unit else { return };
    let [x, y, z] = vertex
        .point
        .map(|value| Length::in_unit(unit, value + 0.0).mm());
    if let Some(odd) = [x, y, z]
        .iter()
        .find(|mm| mm.is_nan() || mm.abs() > LONGEST_MM)
    {
        let wrong = format!("vertex {number} lies at {odd} mm, which is no place of a board");
        let fix = "leave such points out, or correct --unit";
        return faults.file(Problem::new(wrong, fix));
    }
    let z = if settings.depth { 0.0 - z } else { z };
    if vertex.face == 0.0 {
        heights.up.push([x, y, z]);
    } else if vertex.face == 1.0 {
        heights.down.push([x, y, z]);
    } else {
        let wrong = format!("vertex {number} has the face {}", vertex.face);
        faults.file(Problem::new(wrong, "write 0 for up, 1 for down"));
    }
}

/// What the library says of a fault, without the lines that it shows.
fn first_line(error: &impl ToString) -> String {
    let text = error.to_string();
    let line = text.lines().next().unwrap_or_default();
    line.trim_end_matches(['.', ':']).to_owned()
}
