import { type CorpusCase, changes, structure } from '../corpus-case.ts'
import { patient } from '../examples/people-and-things.ts'
import { glucose } from '../examples/readings.ts'

const TYPES = 'R4 datatypes.html, '
const O = 'Observation'
const P = 'Patient'

const instants = changes('glucose', glucose, [
  ['issued in UTC', `${TYPES}instant`, 'issued', '2013-04-03T15:30:10Z'],
  ['issued with fractions of a second', `${TYPES}instant`, 'issued', '2013-04-03T15:30:10.123456789+14:00'],
  ['issued in a leap second', `${TYPES}instant: second 60`, 'issued', '2012-06-30T23:59:60Z'],
  ['issued on a day', `${TYPES}instant`, 'issued', '2013-04-03', structure(`${O}.issued`)],
  ['issued without seconds', `${TYPES}instant`, 'issued', '2013-04-03T15:30Z', structure(`${O}.issued`)],
  ['issued without zone', `${TYPES}instant`, 'issued', '2013-04-03T15:30:10', structure(`${O}.issued`)],
  [
    'issued at hour 24',
    `${TYPES}instant: 24:00 is not allowed`,
    'issued',
    '2013-04-03T24:00:00Z',
    structure(`${O}.issued`),
  ],
  [
    'issued in a zone beyond 14 hours',
    `${TYPES}instant`,
    'issued',
    '2013-04-03T15:30:10+14:30',
    structure(`${O}.issued`),
  ],
  [
    'issued with a space for the T',
    `${TYPES}instant`,
    'issued',
    '2013-04-03 15:30:10Z',
    structure(`${O}.issued`),
  ],
  [
    'issued on 30 February',
    `${TYPES}instant: valid dates`,
    'issued',
    '2013-02-30T15:30:10Z',
    structure(`${O}.issued`),
  ],
  ['issued as a number', 'R4 json.html: strings', 'issued', 1365000000, structure(`${O}.issued`)],
])

const dates = changes('patient', patient, [
  ['born in a year', `${TYPES}date`, 'birthDate', '1974'],
  ['born in a month', `${TYPES}date`, 'birthDate', '1974-12'],
  ['born on a leap day', `${TYPES}date: valid dates`, 'birthDate', '1972-02-29'],
  [
    'born on a leap day of no leap year',
    `${TYPES}date: valid dates`,
    'birthDate',
    '1974-02-29',
    structure(`${P}.birthDate`),
  ],
  ['born in month 13', `${TYPES}date`, 'birthDate', '1974-13-01', structure(`${P}.birthDate`)],
  ['born in the year 0000', `${TYPES}date`, 'birthDate', '0000', structure(`${P}.birthDate`)],
  [
    'born with one digit for the month',
    `${TYPES}date`,
    'birthDate',
    '1974-1-05',
    structure(`${P}.birthDate`),
  ],
  ['born at a time', `${TYPES}date`, 'birthDate', '1974-12-25T14:35:45Z', structure(`${P}.birthDate`)],
  ['born as people write', `${TYPES}date`, 'birthDate', '25.12.1974', structure(`${P}.birthDate`)],
  ['active as text', 'R4 json.html: booleans', 'active', 'true', structure(`${P}.active`)],
  ['active as a number', 'R4 json.html: booleans', 'active', 1, structure(`${P}.active`)],
  ['a rank of zero', `${TYPES}positiveInt`, 'telecom.1.rank', 0, structure(`${P}.telecom[1].rank`)],
  ['a rank with a fraction', `${TYPES}positiveInt`, 'telecom.1.rank', 1.5, structure(`${P}.telecom[1].rank`)],
  [
    'a city of nothing',
    'R4 json.html: strings are never empty',
    'address.0.city',
    '',
    structure(`${P}.address[0].city`),
  ],
  [
    'a family name as a list',
    'R4 HumanName.family 0..1',
    'name.0.family',
    ['A'],
    structure(`${P}.name[0].family`),
  ],
  [
    'a given name that is no list',
    'R4 json.html: repeating elements are arrays',
    'name.0.given',
    'Ada',
    structure(`${P}.name[0].given`),
  ],
  [
    'a name that is no list',
    'R4 json.html: repeating elements are arrays',
    'name',
    { family: 'A' },
    structure(`${P}.name`),
  ],
  ['a text with tabs and line feeds', `${TYPES}string`, 'address.0.text', 'One\tline\r\nand another'],
])

export const dateCases: readonly CorpusCase[] = [...instants, ...dates]
