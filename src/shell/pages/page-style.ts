import { createHash } from 'node:crypto'

/**
 * The one style sheet of the pages. No fonts, images or colours from elsewhere; contrast at least 4.5 to 1 in both schemes.
 */
export const PAGE_STYLE = `
:root {
  color-scheme: light dark;
  --paper: #fbfaf6; --sheet: #ffffff; --ink: #1e2428; --soft: #545c63; --line: #d8d4ca;
  --link: #17525d; --good: #1d5a34; --doubt: #6a4700; --bad: #8c1c1c;
}
@media (prefers-color-scheme: dark) {
  :root {
    --paper: #14171a; --sheet: #1b1f23; --ink: #e8e6e1; --soft: #a8b0b6; --line: #3a4148;
    --link: #93cbd6; --good: #9bd3ab; --doubt: #e5c27a; --bad: #f3a59e;
  }
}
* { box-sizing: border-box; }
html { background: var(--paper); color: var(--ink); font: 100%/1.55 system-ui, sans-serif; }
body { margin: 0 auto; max-width: 68rem; padding: 1.5rem clamp(1rem, 4vw, 3rem) 3rem; overflow-wrap: break-word; }
h1, h2, h3 { font-family: Charter, Cambria, Georgia, serif; font-weight: 600; line-height: 1.2; text-wrap: balance; }
h1 { font-size: clamp(1.6rem, 4vw, 2.2rem); margin: 0 0 .4rem; }
h2 { font-size: 1.35rem; margin: 0 0 .75rem; }
h3 { font-size: 1.08rem; margin: 0 0 .5rem; }
p, ul, ol, dl { margin: 0 0 1rem; max-width: 46rem; }
a { color: var(--link); text-underline-offset: .15em; }
a:focus-visible { outline: .18rem solid var(--link); outline-offset: .15rem; }
code, .place { font-family: ui-monospace, Menlo, Consolas, monospace; font-size: .9em; overflow-wrap: anywhere; }
.skip { position: absolute; left: -100rem; }
.skip:focus { left: 1rem; top: .5rem; background: var(--sheet); padding: .5rem 1rem; z-index: 1; }
.made, .soft { color: var(--soft); }
section { border-top: 1px solid var(--line); padding-top: 1.4rem; margin-top: 2rem; }
nav ul { display: flex; flex-wrap: wrap; gap: .35rem 1.4rem; list-style: none; padding: 0; margin: 1.2rem 0 0; max-width: none; }
nav a { display: inline-block; padding: .3rem 0; }
.lead { font-size: 1.15rem; }
.figures { display: grid; grid-template-columns: repeat(auto-fit, minmax(6.2rem, 1fr)); gap: 1px; max-width: none;
  background: var(--line); border: 1px solid var(--line); }
.figures > div { background: var(--sheet); padding: .7rem clamp(.6rem, 2vw, 1rem); justify-content: flex-end; display: flex; flex-direction: column-reverse; }
.figures dt { color: var(--soft); }
.figures dd { margin: 0; font-size: 1.7rem; font-variant-numeric: tabular-nums; line-height: 1.2; }
.note { border-left: .25rem solid var(--doubt); background: var(--sheet); padding: .8rem 1.1rem; margin: 1.2rem 0; max-width: 50rem; }
.note > :last-child { margin-bottom: 0; }
.facts { display: grid; grid-template-columns: minmax(8rem, max-content) 1fr; gap: .3rem 1.5rem; }
.facts dt { color: var(--soft); }
.facts dd { margin: 0; min-width: 0; overflow-wrap: anywhere; }
.good { color: var(--good); }
.doubt { color: var(--doubt); }
.bad { color: var(--bad); }
.mark { font-weight: 600; white-space: nowrap; }
article { border: 1px solid var(--line); background: var(--sheet); padding: 1rem clamp(.8rem, 2vw, 1.3rem); margin: 0 0 1rem; }
article > :last-child, article li > :last-child { margin-bottom: 0; }
.expectations { padding-left: 1.2rem; max-width: none; }
.expectations > li { margin-bottom: .9rem; }
.expectations > li:last-child { margin-bottom: 0; }
.expectations p { margin-bottom: .2rem; }
.places { list-style: none; padding: 0; margin: .3rem 0 0; max-width: none; }
.places li { padding: .12rem 0; }
table { border-collapse: collapse; width: 100%; margin: 0 0 1rem; background: var(--sheet); }
caption { text-align: left; color: var(--soft); padding: 0 0 .5rem; }
th, td { text-align: left; vertical-align: top; padding: .5rem .8rem; border: 1px solid var(--line); overflow-wrap: anywhere; }
thead th { color: var(--soft); font-weight: 600; overflow-wrap: normal; }
tbody th { font-weight: 600; min-width: 10rem; }
.number { text-align: right; font-variant-numeric: tabular-nums; }
footer { border-top: 1px solid var(--line); margin-top: 2.5rem; padding-top: 1rem; color: var(--soft); }
@media (max-width: 44rem) {
  thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  table, tbody, tr, caption { display: block; }
  table { background: none; }
  tr { border: 1px solid var(--line); background: var(--sheet); margin-bottom: .7rem; padding: .35rem .8rem; }
  tbody th, td { display: grid; grid-template-columns: minmax(6.5rem, 38%) 1fr; gap: .8rem; border: 0; padding: .25rem 0; min-width: 0; }
  tbody th::before, td::before { content: attr(data-column); color: var(--soft); font-weight: 400; }
  .number { text-align: left; }
  .facts { grid-template-columns: 1fr; gap: 0; }
  .facts dd { margin-bottom: .6rem; }
}
@media print {
  :root { color-scheme: light; --paper: #fff; --sheet: #fff; --ink: #000; --soft: #444; --line: #999; --link: #000;
    --good: #14502b; --doubt: #5a3c00; --bad: #7a1414; }
  body { max-width: none; padding: 0; font-size: 10pt; }
  nav, .skip { display: none; }
  h2, h3, caption { break-after: avoid; }
  tr, .note, .expectations > li { break-inside: avoid; }
  thead { display: table-header-group; }
}
`

/** The style sheet's hash, as a Content-Security-Policy names it. Source: W3C CSP Level 3, hash-source. */
export const PAGE_STYLE_HASH = `sha256-${createHash('sha256').update(PAGE_STYLE).digest('base64')}`
