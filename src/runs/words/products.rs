//! What a buyer asks of a tool and a pack, in words.

use super::RunsWording;
use crate::dataset::types::{Pack, Tool};
use crate::runs::data::RunsBehind;
use crate::text::number;

impl RunsWording<'_> {
    /// The drive, the distance to the side, other names of the tool, and the voltage of the pack.
    pub(super) fn products(&self, behind: &RunsBehind) -> Vec<String> {
        let mut tools = self.dataset.tools.iter();
        let mut packs = self.dataset.packs.iter();
        let tool = tools.find(|tool| tool.id == behind.tool);
        let pack = packs.find(|pack| pack.id == behind.pack);
        let mut lines = Vec::new();
        if let Some(tool) = tool {
            lines.extend(self.drive(tool));
            lines.extend(tool.centre_to_side_mm.map(|side_mm| {
                let length = number::length(side_mm, &self.catalogue.number);
                self.fill("product.side", &[("length", &self.millimetres(&length))])
            }));
            lines.push(self.fill("product.mount", &[("mount", &tool.pack_mount)]));
            let aka = tool.aka.join(", ");
            if !aka.is_empty() {
                lines.push(self.fill("product.aka", &[("names", &aka)]));
            }
        }
        lines.extend(pack.and_then(|pack| self.voltage(pack)));
        let series = pack.and_then(|pack| pack.cells.as_ref()?.series);
        lines.extend((series == Some(5)).then(|| self.fill("product.volts_cells.five", &[])));
        lines
    }

    fn drive(&self, tool: &Tool) -> Option<String> {
        let size = tool.drive_mm.map(|drive_mm| {
            let number = number::given(drive_mm, &self.catalogue.number);
            self.millimetres(&number)
        });
        let key = match (&size, &tool.drive_shape) {
            (Some(_), Some(_)) => "product.drive",
            (Some(_), None) => "product.drive_size",
            (None, Some(_)) => "product.drive_shape",
            (None, None) => return None,
        };
        let values = [
            ("length", size.as_deref().unwrap_or_default()),
            ("shape", tool.drive_shape.as_deref().unwrap_or_default()),
        ];
        Some(self.fill(key, &values))
    }

    fn voltage(&self, pack: &Pack) -> Option<String> {
        let number = pack
            .nominal_v
            .map(|nominal_v| number::given(nominal_v, &self.catalogue.number));
        let series = pack.cells.as_ref().and_then(|cells| cells.series);
        match (number, series) {
            (Some(number), Some(series)) => {
                let values = [("number", number.as_str())];
                let cells = self.catalogue;
                Some(cells.fill_plural("product.volts_cells", series.into(), &values))
            }
            (Some(number), None) => Some(self.fill("product.volts", &[("number", &number)])),
            (None, _) => None,
        }
    }

    fn millimetres(&self, number: &str) -> String {
        self.catalogue
            .quantity(number, &self.catalogue.units.millimetre)
    }
}
