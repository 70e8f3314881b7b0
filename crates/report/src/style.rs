//! How the page looks, and the script that sorts its table where scripts run.

use std::fmt::Write as _;

use evenhand_preview::dark_counterparts;

const SHEET: &str = "
:root{color-scheme:light dark;--ink:#16191d;--quiet:#4a525c;--ground:#fff;--line:#d0d7de;--soft:#f1f3f5}
@media screen and (prefers-color-scheme:dark){:root{--ink:#f2f4f6;--quiet:#b3bcc6;--ground:#14171b;--line:#414b56;--soft:#1f242a}}
*{box-sizing:border-box}
body{margin:0;background:var(--ground);color:var(--ink);font:16px/1.5 Ubuntu,sans-serif}
main{max-width:64rem;margin:0 auto;padding:2rem 1.25rem 4rem}
h1{font-size:1.75rem;line-height:1.2;margin:0 0 .5rem}
h2{font-size:1.25rem;margin:2.5rem 0 .75rem}
h3{font-size:1rem;margin:1.25rem 0 .25rem}
p,li{max-width:46rem}
.lead{color:var(--quiet);margin-top:0}
.note{color:var(--quiet);font-size:.9rem}
figure{margin:1rem 0}
figure svg{display:block;width:100%;height:auto}
figcaption{color:var(--quiet);font-size:.9rem;max-width:46rem}
.wide{overflow-x:auto}
table{border-collapse:collapse;font-size:.85rem;font-variant-numeric:tabular-nums;width:100%}
caption{text-align:left;color:var(--quiet);padding-bottom:.4rem}
th,td{padding:.3rem .5rem;border-bottom:1px solid var(--line);text-align:left;vertical-align:top}
tbody th{white-space:nowrap}
thead th{border-bottom:2px solid var(--line);white-space:nowrap}
td.number,th.number{text-align:right;white-space:nowrap}
th button{font:inherit;color:inherit;background:none;border:0;padding:0;cursor:pointer;text-decoration:underline dotted}
th button:focus-visible,a:focus-visible{outline:2px solid currentColor;outline-offset:3px}
.cautions{border-left:4px solid var(--quiet);padding:.25rem 0 .25rem 1rem;background:var(--soft)}
.cautions ul{margin:.25rem 0}
code,pre{font-family:\"Ubuntu Mono\",monospace;font-size:.9em}
pre{background:var(--soft);padding:.75rem 1rem;overflow-x:auto;white-space:pre-wrap;overflow-wrap:anywhere}
.digest{overflow-wrap:anywhere}
dt{font-weight:bold;margin-top:.6rem}
dd{margin:0;max-width:46rem}
a{color:inherit}
@media print{
@page{margin:15mm}
body{font-size:10pt}
main{max-width:none;padding:0}
h2,h3{break-after:avoid}
figure,tr,.cautions,dt{break-inside:avoid}
thead{display:table-header-group}
.screen{display:none}
.wide{overflow:visible}
table{font-size:8pt}
th button{text-decoration:none}
}
";

/// The style sheet; charts made for light pages take the colours of dark ones on dark screens.
pub(crate) fn sheet() -> String {
    let mut sheet = String::from(SHEET);
    sheet.push_str("@media screen and (prefers-color-scheme:dark){\n");
    for (light, dark) in dark_counterparts() {
        let _ = writeln!(
            sheet,
            "figure svg [fill=\"{light}\"]{{fill:{dark}}}figure svg [stroke=\"{light}\"]{{stroke:{dark}}}"
        );
    }
    sheet.push_str("}\n");
    sheet
}

/// Turns the heads of a table marked `sorts` into buttons. Cells sort by their number where they carry one,
/// unknown ones last, else by their text.
pub(crate) const SCRIPT: &str = r#"
for (const table of document.querySelectorAll("table.sorts")) {
  const heads = [...table.tHead.rows[0].cells];
  heads.forEach((head, column) => {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = head.textContent;
    head.replaceChildren(button);
    button.addEventListener("click", () => {
      const up = head.getAttribute("aria-sort") !== "ascending";
      heads.forEach((other) => other.removeAttribute("aria-sort"));
      head.setAttribute("aria-sort", up ? "ascending" : "descending");
      const key = (row) => {
        const cell = row.cells[column];
        return cell.dataset.number === undefined ? cell.textContent : Number(cell.dataset.number);
      };
      const order = (a, b) => {
        const [x, y] = [key(a), key(b)];
        if (typeof x === "number" && typeof y === "number") {
          if (Number.isNaN(x) || Number.isNaN(y)) return Number.isNaN(x) - Number.isNaN(y);
          return up ? x - y : y - x;
        }
        return up ? String(x).localeCompare(String(y)) : String(y).localeCompare(String(x));
      };
      const body = table.tBodies[0];
      body.append(...[...body.rows].sort(order));
    });
  });
}
"#;
