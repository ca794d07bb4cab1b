"""How the report looks: a day sheet on paper, two inks, the same by night on near-black.

Type is 11 pt and up on paper. Contrast of text to paper is above 7 to 1 in both lights
(WCAG 2.2 success criterion 1.4.6).
"""

from __future__ import annotations

from hearthtide.printing.picture import INKS, NIGHT_INKS, SVG_STYLE, variables

_PAGE = """
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%;text-size-adjust:100%}
body{margin:0 auto;padding:1.2rem 1rem 3rem;max-width:74rem;background:var(--paper);color:var(--ink);
font:1.06rem/1.42 system-ui,'Segoe UI',Roboto,'Helvetica Neue',Arial,sans-serif;
font-variant-numeric:lining-nums tabular-nums}
header{border-bottom:3px solid var(--ink);padding-bottom:.8rem}
h1{font-size:2rem;line-height:1.15;margin:.2rem 0 .5rem;letter-spacing:-.01em}
h2{font-size:1.4rem;margin:2.2rem 0 .5rem;padding-top:.5rem;border-top:1px solid var(--ink)}
header+section h2{border-top:0;margin-top:1rem}
h3{font-size:1.1rem;margin:1.2rem 0 .3rem}
p{margin:.4rem 0;max-width:62ch}
.say{font-size:1.22rem;max-width:56ch}
.lead{max-width:70ch}
ul{margin:.4rem 0;padding-left:1.1rem;max-width:70ch}
li{margin:.15rem 0}
.broken{list-style:none;padding-left:0}
.broken li{border-left:5px solid var(--orange);padding-left:.6rem;margin:.4rem 0}
.care{border:2px solid var(--ink);padding:.7rem 1rem}
.care h2{border:0;margin:0;padding:0}
.care ul{columns:26rem;column-gap:2rem;max-width:none}
.care li{break-inside:avoid;margin:.3rem 0}
svg.p{display:block;width:100%;height:auto}
.half{display:grid;grid-template-columns:repeat(auto-fit,minmax(19.5rem,1fr));gap:1.2rem 1rem}
.half svg.p{max-width:30rem}
.wide svg.p{max-width:62rem;margin:.6rem 0 1.2rem}
figure{margin:0;break-inside:avoid}
figcaption{max-width:52ch}
table{border-collapse:collapse;width:100%;max-width:62rem;margin:.4rem 0 1rem}
thead{display:table-header-group}
th{text-align:left;font-weight:600;border-bottom:2px solid var(--ink)}
th,td{padding:.22rem .6rem .22rem 0;vertical-align:top}
td{border-bottom:1px solid color-mix(in srgb,var(--ink) 25%,transparent)}
tr{break-inside:avoid}
td:first-child{font-weight:600}
.figures{table-layout:fixed}
.figures{max-width:56rem}
.figures th:nth-child(1){width:4.4rem}.figures th:nth-child(2){width:5.6rem}
.figures th:nth-child(3){width:5.6rem}.figures th:nth-child(4),.figures th:nth-child(5){width:5.2rem}
.figures th:nth-child(7){width:5rem}.figures th:nth-child(8){width:7.4rem}
.figures th:nth-child(9){width:4.6rem}
.facts td:nth-child(2){white-space:nowrap}
.wrap{overflow-x:auto}
.acts{list-style:none;margin:0;padding:0;columns:24rem;column-gap:2.2rem}
.acts li{display:grid;grid-template-columns:5.4rem 1fr;gap:.5rem;break-inside:avoid;margin:0;padding:.14rem 0;
border-bottom:1px solid color-mix(in srgb,var(--ink) 18%,transparent)}
.acts time{font-weight:600}
.acts i{font-style:normal;opacity:.82}
.acts i::before{content:"· "}
.acts .marks{opacity:.82}
.acts .marks::before{content:"· "}
.acts small{display:block;font-size:.94rem;line-height:1.3;padding:.1rem 0 .15rem .7rem;
border-left:3px solid var(--blue);margin:.2rem 0}
.acts .flame{border-top:2px solid var(--orange);border-bottom:2px solid var(--orange)}
"""

_PRINT = """
@page{size:A4;margin:12mm}
@media print{
:root{--paper:#fff}
body{max-width:none;padding:0;font-size:11.5pt;line-height:1.32}
.acts small{font-size:11pt}
.half{grid-template-columns:1fr 1fr;gap:8px 14px}
.half svg.p,.wide svg.p{max-width:none}
.wide svg.p{break-inside:avoid}
.acts{columns:2;column-gap:6mm}
.acts li{grid-template-columns:5.4em 1fr}
.care{break-inside:avoid}
.care ul{columns:1}
h2,h3,.lead,.key{break-after:avoid}
.lead{break-inside:avoid}
.fresh{break-before:page}
th,td{padding:1.5pt 5pt 1.5pt 0}
.wrap{overflow:visible}
}
"""

STYLE = (
    f":root{{color-scheme:light dark;{variables(INKS)}}}"
    f"@media screen and (prefers-color-scheme:dark){{:root{{{variables(NIGHT_INKS)}}}}}"
    f"{SVG_STYLE}{_PAGE}{_PRINT}"
)
