"""The page's style sheet: light and dark, phone and desk, A4 and Letter."""

from __future__ import annotations

from tenhour.report.pictures.palette import DARK, FONT_STACK, LIGHT, css_variables

_BODY = """
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%;scroll-behavior:auto}
body{margin:0;background:var(--paper);color:var(--ink);font:16px/1.5 FONTS;overflow-wrap:anywhere}
header,main,footer,nav{max-width:62rem;margin:0 auto;padding:0 1rem}
header{padding-top:1.6rem}
h1,h2,h3{font-family:'Iowan Old Style','Palatino Linotype',Palatino,'URW Palladio L','Book Antiqua',Georgia,serif;
line-height:1.2;font-weight:600;text-wrap:balance}
h1{font-size:2.1rem;margin:.2rem 0 .3rem}
h2{font-size:1.5rem;margin:2.6rem 0 .6rem;padding-top:.7rem;border-top:3px solid var(--sun)}
h3{font-size:1.15rem;margin:1.6rem 0 .4rem}
h4{font-size:1rem;margin:1rem 0 .2rem}
p{margin:.4rem 0 .8rem;max-width:46rem}
.quiet,figcaption,caption{color:var(--quiet);font-size:.9rem}
a{color:var(--air)}
a:focus-visible,summary:focus-visible{outline:3px solid var(--sun);outline-offset:2px}
.skip{position:absolute;left:-99rem}
.skip:focus{left:1rem;top:.5rem;background:var(--paper);padding:.4rem .8rem;z-index:2}
nav ul{display:flex;flex-wrap:wrap;gap:.2rem 1.1rem;list-style:none;padding:0;margin:.8rem 0}
nav a{display:inline-block;padding:.25rem 0}
.today{font-size:1.22rem;line-height:1.45;border-left:4px solid var(--sun);padding-left:1rem}
.today p{max-width:44rem;margin:.3rem 0 .7rem}
.sheet{columns:17rem 3;column-gap:1.6rem}
.card{break-inside:avoid;margin:0 0 .9rem}
.card h3{margin:.2rem 0 .2rem}
.card ul{list-style:none;padding:0;margin:0}
.card li{padding:.12rem 0;border-bottom:1px solid var(--hair)}
.card figure{margin:0}
.crops{list-style:none;padding:0;margin:.2rem 0 .6rem;columns:24rem 2;column-gap:2rem}
.crops li{break-inside:avoid;padding:.35rem 0;border-bottom:1px solid var(--hair)}
.crops b{font-weight:650}
.crops .facts{display:block;color:var(--quiet);font-size:.87rem}
.verdict{margin:1rem 0 .1rem;font-weight:650;color:var(--leaf)}
.verdict.later{color:var(--dull)}
.verdict.no{color:var(--quiet)}
.pictures{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(100%,27rem),1fr));gap:1.2rem;align-items:start}
.maps{grid-template-columns:repeat(auto-fill,minmax(min(100%,21rem),1fr))}
figure{margin:.6rem 0 1rem;min-width:0}
figcaption{max-width:46rem}
svg.picture{display:block;width:100%;height:auto;font-family:FONTS;stroke-linejoin:round}
table{border-collapse:collapse;font-size:.9rem;margin:.4rem 0;font-variant-numeric:tabular-nums;overflow-wrap:normal}
caption{text-align:left;padding:.2rem 0;overflow-wrap:anywhere}
th,td{text-align:left;vertical-align:top;padding:.25rem .7rem .25rem 0;border-bottom:1px solid var(--hair)}
thead th{border-bottom:2px solid var(--line);vertical-align:bottom}
tbody th{font-weight:500}
td,th{max-width:26rem;overflow-wrap:break-word}
.many{font-size:.8rem}
.many td,.many th{padding:.2rem .4rem .2rem 0}
.n{text-align:right}
.w{white-space:nowrap}
details{margin:.4rem 0}
summary{cursor:pointer;padding:.3rem 0;color:var(--quiet)}
.plan{border:2px solid var(--sun);padding:.4rem 1rem;margin:1rem 0}
.caution{border-left:4px solid var(--now);padding-left:1.6rem}
.months{columns:20rem 3;column-gap:1.6rem}
.months h4{break-after:avoid;margin:0 0 .2rem}
.months ul{padding-left:1.1rem;margin:.2rem 0 1rem;font-size:.92rem}
.months li{break-inside:avoid}
footer{margin-top:3rem;padding-bottom:2rem;color:var(--quiet);font-size:.9rem;border-top:1px solid var(--hair)}
figure.narrow{display:none}
td i{display:none}
.lead{display:grid;grid-template-columns:minmax(0,24rem) minmax(0,1fr);gap:0 1.6rem;align-items:start}
.lead>.today{min-height:100%}
.lead>:only-child{grid-column:1/-1}
STACK(.most)
@media (max-width:62rem){STACK(.many)}
@media (max-width:40rem){STACK(.rows)
h1{font-size:1.5rem}
header{padding-top:.6rem}
nav ul{margin:.2rem 0}
.lead{display:block}
figure.wide{display:none}
figure.narrow{display:block}
.today{font-size:1.05rem}
}
@media print{
:root{LIGHT color-scheme:light}
@page{margin:14mm}
body{font-size:10.5pt;background:none}
header,main,footer{max-width:none;padding:0}
nav,.skip,figure.narrow,details:not([open]){display:none}
figure.wide{display:block}
h2,h3,h4,.verdict,h2+p{break-after:avoid}
h2{margin-top:1.4rem}
figure,.plan,tr,h2+p,section section{break-inside:avoid}
.plan{font-size:9.5pt}
.plan .caution{columns:2;column-gap:2rem;font-size:8.5pt;line-height:1.35}
.plan li{break-inside:avoid}
svg.picture{max-height:240mm;-webkit-print-color-adjust:exact;print-color-adjust:exact}
.pictures{grid-template-columns:repeat(2,1fr)}
.maps{grid-template-columns:repeat(3,1fr)}
.wide svg.picture{max-height:235mm}
.today{font-size:10.5pt;line-height:1.3}
.lead{grid-template-columns:78mm 1fr}
#today{break-after:page}
.sheet{columns:2;font-size:9pt;line-height:1.3}
.card{margin:0 0 .5rem}
.card h3{font-size:11pt}
.card svg.picture{max-height:64mm}
.crops{columns:2;font-size:9pt;line-height:1.3}
.months{columns:3}
.months ul{font-size:8.5pt}
table{font-size:8.5pt}
th,td{padding:.12rem .45rem .12rem 0}
a{color:inherit;text-decoration:none}
}
"""


_STACK = """
PICK,PICK tbody,PICK tr,PICK th,PICK td,PICK caption{display:block;max-width:none}
PICK thead{position:absolute;clip-path:inset(50%);width:1px;height:1px;overflow:hidden}
PICK tr{padding:.4rem 0;border-bottom:1px solid var(--line)}
PICK tbody th,PICK td{border:0;padding:.05rem 0;text-align:left;white-space:normal}
PICK tbody th{font-weight:650}
PICK td{display:flex;gap:.6rem;justify-content:space-between}
PICK td i,PICK td span,PICK th{min-width:0;overflow-wrap:anywhere}
PICK td i{display:inline;font-style:normal;color:var(--quiet)}
PICK td span{text-align:right}
PICK td.none{display:none}
"""
"""A table whose rows are lists, where there is no room for its columns."""


def css() -> str:
    """Return the whole style sheet."""
    light = css_variables(LIGHT)
    dark = f"@media (prefers-color-scheme:dark){{:root{{{css_variables(DARK)}}}}}"
    body = _BODY.replace("FONTS", FONT_STACK).replace("LIGHT", light).strip()
    for pick in (".most", ".many", ".rows"):
        body = body.replace(f"STACK({pick})", _STACK.strip().replace("PICK", f"table{pick}"))
    return f":root{{{light}color-scheme:light dark}}{dark}{body}"
