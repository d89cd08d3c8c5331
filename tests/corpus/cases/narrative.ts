import { type CorpusCase, changes, invariant, structure } from '../corpus-case.ts'
import { div } from '../examples/coded.ts'
import { operationOutcome } from '../examples/people-and-things.ts'
import { bloodPressure } from '../examples/readings.ts'

const TEXT = 'Observation.text'
const DIV = `${TEXT}.\`div\``
const PAGE = 'R4 narrative.html'
const txt1 = invariant('txt-1', DIV)
const txt2 = invariant('txt-2', DIV)

const allowed = changes('blood pressure', bloodPressure, [
  [
    'a table',
    `${PAGE}: HTML 4.0 chapter 11`,
    'text.div',
    div('<table border="1"><tr><td>107</td></tr></table>'),
  ],
  [
    'a picture that leads to places by its parts',
    `${PAGE}: images`,
    'text.div',
    div('<img src="#chart" alt="a chart" usemap="#parts"/><map name="parts"><area href="#a" alt="a"/></map>'),
  ],
  ['a picture', `${PAGE}: img`, 'text.div', div('<img src="#chart" alt="a chart"/>')],
  ['a link', `${PAGE}: a`, 'text.div', div('<a href="https://a.example/?a=1&amp;b=2">more</a>')],
  ['a style attribute', `${PAGE}: style attributes`, 'text.div', div('<p style="color: black">107</p>')],
  [
    'a character by its number',
    `${PAGE}: XML character references`,
    'text.div',
    div('107&#160;mmHg &lt; 135'),
  ],
  ['a comment', `${PAGE}: XML`, 'text.div', div('<!-- of the gateway -->107')],
  ['a language', `${PAGE}: xml:lang`, 'text.div', div('<p lang="en" xml:lang="en">107</p>')],
  ['additional', 'R4 value set narrative-status', 'text.status', 'additional'],
])

const refused = changes('blood pressure', bloodPressure, [
  ['no status', 'R4 Narrative.status 1..1', 'text.status', undefined, structure(`${TEXT}.status`)],
  [
    'an unknown status',
    'R4 value set narrative-status, required',
    'text.status',
    'final',
    structure(`${TEXT}.status`),
  ],
  ['no div', 'R4 Narrative.div 1..1', 'text.div', undefined, structure(DIV)],
  ['a div that is a number', 'R4 xhtml', 'text.div', 5, structure(DIV)],
  ['a narrative as text', 'R4 json.html: objects', 'text', '107/60', structure(TEXT)],
  ['a script', 'R4 txt-1', 'text.div', div('<script>1</script>x'), txt1],
  ['an event', 'R4 txt-1: no event attributes', 'text.div', div('<p onclick="a()">x</p>'), txt1],
  ['a form', 'R4 txt-1: no forms', 'text.div', div('<form><input/></form>x'), txt1],
  ['a frame', 'R4 txt-1: no frames', 'text.div', div('<iframe src="https://a.example">x</iframe>'), txt1],
  ['an object', 'R4 txt-1: no objects', 'text.div', div('<object data="a">x</object>'), txt1],
  [
    'a style sheet',
    'R4 txt-1: no external style sheets',
    'text.div',
    div('<link rel="stylesheet" href="a.css"/>x'),
    txt1,
  ],
  [
    'text that is struck out as changed',
    'R4 txt-1: not HTML 4.0 section 9.4',
    'text.div',
    div('<del>x</del>'),
    txt1,
  ],
  [
    'text that was put in as a change',
    'R4 txt-1: not HTML 4.0 section 9.4',
    'text.div',
    div('<ins>x</ins>'),
    txt1,
  ],
  ['a font', `${PAGE}: no deprecated elements`, 'text.div', div('<font color="red">x</font>'), txt1],
  ['centred text', `${PAGE}: no deprecated elements`, 'text.div', div('<center>x</center>'), txt1],
  ['underlined text', `${PAGE}: no deprecated elements`, 'text.div', div('<u>x</u>'), txt1],
  ['text struck out', `${PAGE}: no deprecated elements`, 'text.div', div('<strike>x</strike>'), txt1],
  ['a script in a link', 'R4 txt-1: no scripts', 'text.div', div('<a href="javascript:a()">x</a>'), txt1],
  ['elements that cross', 'R4 txt-1: XML', 'text.div', div('<b><i>x</b></i>'), txt1],
  ['an element left open', 'R4 txt-1: XML', 'text.div', div('<p>x'), txt1],
  ['a bare ampersand', 'R4 txt-1: XML', 'text.div', div('systolic & diastolic'), txt1],
  ['an entity of HTML', `${PAGE}: no HTML entities, Unicode instead`, 'text.div', div('107&nbsp;mmHg'), txt1],
  [
    'a paragraph in place of the div',
    `${PAGE}: a single div`,
    'text.div',
    '<p xmlns="http://www.w3.org/1999/xhtml">x</p>',
    txt1,
  ],
  ['two divs', `${PAGE}: a single div`, 'text.div', `${div('x')}${div('y')}`, txt1],
  ['no namespace', `${PAGE}: xhtml namespace`, 'text.div', '<div>107</div>', txt1],
  ['plain text', `${PAGE}: a single div`, 'text.div', 'Blood pressure 107/60', txt1],
  ['nothing to read', 'R4 txt-2', 'text.div', div(' '), txt2],
  ['only empty paragraphs', 'R4 txt-2', 'text.div', div('<p></p><br/>'), txt2],
])

const ofOutcome = changes('operation outcome', operationOutcome, [
  [
    'a script',
    'R4 txt-1',
    'text.div',
    div('<script>1</script>x'),
    invariant('txt-1', 'OperationOutcome.text.`div`'),
  ],
])

export const narrativeCases: readonly CorpusCase[] = [...allowed, ...refused, ...ofOutcome]
