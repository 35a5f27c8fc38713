//! How panels hang together over bend lines.

use super::line::Line;

/// The panels as a tree of bend lines.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Tree {
    /// For each panel, the lines at it: line, the panel over it, whether that is the line's moving one.
    pub beside: Vec<Vec<(usize, usize, bool)>>,
}

/// A step of a way from panel to panel over a line: the line, and whether it goes to the moving panel.
pub(crate) type Over = (usize, bool);

impl Tree {
    pub fn of(panels: usize, lines: &[Line]) -> Tree {
        let mut beside = vec![Vec::new(); panels];
        for (index, line) in lines.iter().enumerate() {
            beside[line.fixed].push((index, line.moving, true));
            beside[line.moving].push((index, line.fixed, false));
        }
        Tree { beside }
    }

    /// The ways from these panels to every panel that is come to without passing over the lines kept shut: for each panel
    /// reached, its start and the lines passed.
    pub fn ways(&self, from: &[usize], shut: &[usize]) -> Vec<Option<(usize, Vec<Over>)>> {
        let mut ways: Vec<Option<(usize, Vec<Over>)>> = vec![None; self.beside.len()];
        let mut waiting = Vec::new();
        for &start in from {
            if ways[start].is_none() {
                ways[start] = Some((start, Vec::new()));
                waiting.push(start);
            }
        }
        let mut next = 0;
        while next < waiting.len() {
            let panel = waiting[next];
            next += 1;
            for &(line, other, to_moving) in &self.beside[panel] {
                if shut.contains(&line) || ways[other].is_some() {
                    continue;
                }
                let mut way = ways[panel].clone().unwrap_or_default();
                way.1.push((line, to_moving));
                ways[other] = Some(way);
                waiting.push(other);
            }
        }
        ways
    }
}
