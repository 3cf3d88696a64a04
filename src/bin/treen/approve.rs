//! `treen approve`: what a customer said of a proof, written down beside the orders.

use crate::Outcome;
use crate::args::ApproveArgs;
use crate::inputs::folder_of;
use crate::output::{Output, answer};
use serde_json::json;
use std::io;
use treen::batch::{APPROVALS, Word, recorded};
use treen::finding::plain;
use treen::model::Said;

pub(crate) fn run(args: &ApproveArgs, out: Output) -> io::Result<Outcome> {
    let folder = folder_of(args.orders.as_deref());
    let today = || jiff::ZonedDateTime::now().date().to_string();
    let date = args.date.clone().unwrap_or_else(today);
    let said = if args.change { Said::Change } else { Said::Approved };
    let word = |order| Word {
        order,
        said,
        proof: args.proof.as_deref(),
        date: &date,
        note: args.note.as_deref(),
    };
    let words: Vec<Word<'_>> = args.ids.iter().map(|id| word(id.as_str())).collect();
    let recorded = match recorded(&folder, &args.out, &words) {
        Ok(recorded) => recorded,
        Err(findings) => {
            out.refuse(&findings)?;
            let broke = findings.iter().any(|finding| finding.code.broke());
            return Ok(if broke { Outcome::Broken } else { Outcome::BadInput });
        }
    };
    let file = plain(&folder.join(APPROVALS).display().to_string());
    let rows = words.iter().zip(&recorded);
    if out.json {
        let row = |(word, mark): (&Word<'_>, &treen::batch::Recorded)| {
            json!({
                "order": word.order, "said": word.said.word(), "proof": mark.proof,
                "latest": mark.latest, "date": word.date, "note": word.note,
            })
        };
        let rows: Vec<_> = rows.clone().map(row).collect();
        answer(&format!("{:#}\n", json!({ "recorded": rows, "findings": [] })))?;
    }
    for (word, mark) in rows {
        let id = plain(word.order);
        let said = match word.said {
            Said::Approved => "approved",
            Said::Change => "to be changed",
        };
        out.tell(&format!(
            "{id}: proof {} {said}, {}; recorded in {file}\n",
            mark.proof,
            plain(word.date)
        ))?;
        if mark.proof != mark.latest {
            out.say(&format!("{id}: the latest proof is another, {}\n", mark.latest))?;
        }
    }
    Ok(Outcome::AllWell)
}
