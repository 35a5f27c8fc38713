//! The best pierces for an order.

use super::Order;

impl Order<'_> {
    /// The best pierces for the order as it stands: what is cut at each place is settled by it, so the least time to each
    /// pierce follows from those of the place before.
    pub(super) fn choose_pierces(&mut self) {
        let count = self.run.len();
        let mut least: Vec<(i64, usize)> = vec![(0, self.net.end())];
        let mut came_from: Vec<Vec<(usize, usize)>> = Vec::with_capacity(count);
        for at in 0..count {
            let place = &self.place;
            let mut here = Vec::new();
            let mut links = Vec::new();
            for to in self.net.of_contour[self.run[at]].clone() {
                let own_us = i64::from(self.net.nodes[to].own_us);
                let mut best = (i64::MAX, 0);
                for (k, (time_us, from)) in least.iter().enumerate() {
                    let travel_us = i64::from(self.net.travel_us(*from, to, |c| place[c] < at));
                    best = best.min((time_us + travel_us + own_us, k));
                }
                here.push((best.0, to));
                links.push((to, best.1));
            }
            least = here;
            came_from.push(links);
        }
        let end = self.net.end();
        let mut best: Option<(i64, usize)> = None;
        for (k, (time_us, node)) in least.iter().enumerate() {
            let park_us = if self.net.parks && count > 0 {
                i64::from(self.net.travel_us(*node, end, |_| true))
            } else {
                0
            };
            if best.is_none_or(|(best_us, _)| time_us + park_us < best_us) {
                best = Some((time_us + park_us, k));
            }
        }
        let mut link = best.map_or(0, |(_, k)| k);
        for at in (0..count).rev() {
            let (node, before) = came_from[at][link];
            self.node[self.run[at]] = node;
            link = before;
        }
    }
}
