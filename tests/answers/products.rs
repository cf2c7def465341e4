//! What is said of a tool, a pack and a job beside their figures.

use super::demo::{ask, demo, edited, list, question, read};
use jobtorque::results::Results;
use serde_json::{Value, json};

fn products(results: &Results) -> Vec<String> {
    let pair = json!({"tool": "sorrel-18-medium", "pack": "two-row-8-0", "job": "650 N·m"});
    let study = results.study(&question(pair)).unwrap();
    let passages = study.worded_runs().unwrap().passages;
    let mut own = passages
        .into_iter()
        .filter(|one| one.heading == "The tool and the pack");
    own.next().map(|one| one.lines).unwrap_or_default()
}

/// The demo with members of this tool and this pack changed.
fn changed(tool: &[(&str, Value)], pack: &[(&str, Value)]) -> Results {
    edited(|document| {
        for (name, id, members) in [
            ("tools", "sorrel-18-medium", tool),
            ("packs", "two-row-8-0", pack),
        ] {
            for one in list(document, name) {
                if one["id"] != id {
                    continue;
                }
                for (member, value) in members {
                    one[*member] = value.clone();
                }
            }
        }
    })
}

const MOUNT: &str = "It takes packs of the mount hedge-rail-18, and no others without an adapter.";
const FIVE_CELLS: &str = "Packs named 18 V and packs named 20 V both have 5 cells in series.";

#[test]
fn the_runs_behind_a_pair_end_with_its_tool_and_pack() {
    assert_eq!(
        products(&read(&demo())),
        [
            "Drive: 12.5 mm, square.",
            "From the drive's axis to the side: 33 mm.",
            MOUNT,
            "Other names of the tool: sorrel 18, sorrel mid.",
            "Pack: 18 V nominal, 5 cells in series.",
            FIVE_CELLS,
        ]
    );
}

#[test]
fn what_is_not_known_of_a_product_is_not_said() {
    let size = changed(&[("drive_shape", Value::Null)], &[("cells", Value::Null)]);
    let lines = products(&size);
    assert_eq!(lines[0], "Drive: 12.5 mm.");
    assert_eq!(lines.last().unwrap(), "Pack: 18 V nominal.");
    let shape = changed(
        &[
            ("drive_mm", Value::Null),
            ("centre_to_side_mm", Value::Null),
        ],
        &[("nominal_v", Value::Null)],
    );
    let wanted = [
        "Drive: square.",
        MOUNT,
        "Other names of the tool: sorrel 18, sorrel mid.",
        FIVE_CELLS,
    ];
    assert_eq!(products(&shape), wanted);
}

#[test]
fn a_job_of_the_file_says_its_thread_and_where_its_torque_comes_from() {
    let results = read(&demo());
    let said = |job: &str| {
        let pair = json!({"tool": "sorrel-18-medium", "pack": "two-row-8-0", "job": job});
        let lines = ask(&results, pair).rests_on;
        let own = lines
            .into_iter()
            .filter(|line| line.contains("of this job"));
        own.collect::<Vec<_>>()
    };
    assert_eq!(
        said("car-wheel-loosen"),
        [
            "Thread of this job: M12×1.5.",
            "Where the torque of this job comes from: one public owner's manual: 135 N·m (100 lbf·ft); \
             passenger cars in general about 80 to 140 N·m.",
        ]
    );
    assert_eq!(said("135 N·m"), [""; 0]);
}
