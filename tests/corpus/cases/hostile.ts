import { type CorpusCase, fatal, invariant, structure, whole } from '../corpus-case.ts'
import { div } from '../examples/coded.ts'
import { glucose } from '../examples/readings.ts'

const JSON_PAGE = 'R4 json.html'
const LIMITS = 'a limit of this validator, named in DEVELOPERS.md'
const O = 'Observation'

function nested(times: number, inside: unknown, around: (inner: unknown) => unknown): unknown {
  let value = inside
  for (let i = 0; i < times; i++) value = around(value)
  return value
}
const url = 'https://a.example/StructureDefinition/x'
const extensions = (times: number) =>
  nested(times, { url, valueCode: 'c' }, (inner) => ({ url, extension: [inner] }))
const concepts = (times: number) => ({
  resourceType: 'CodeSystem',
  status: 'draft',
  content: 'complete',
  text: { status: 'generated', div: div('A tree') },
  concept: [
    nested(times - 1, { code: `c${times}` }, (inner) => ({
      code: `${JSON.stringify(inner).length}`,
      concept: [inner],
    })),
  ],
})
const bundles = (times: number) =>
  nested(times, { resourceType: 'Bundle', type: 'collection' }, (resource) => ({
    resourceType: 'Bundle',
    type: 'collection',
    entry: [{ resource }],
  }))
const TOO_LONG = 1_048_577

/** JSON made to hurt, and JSON that is no resource. */
export const hostileCases: readonly CorpusCase[] = [
  ...[null, true, 5, 'Observation', [], [glucose()]].map((value) =>
    whole(`${JSON.stringify(value).slice(0, 20)} for a resource`, JSON_PAGE, value, fatal('STRUCTURE', '')),
  ),
  whole('an object without type', JSON_PAGE, { status: 'final' }, fatal('STRUCTURE', '')),
  whole('an empty object', JSON_PAGE, {}, fatal('STRUCTURE', '')),
  whole('null for the type', JSON_PAGE, { resourceType: null }, fatal('STRUCTURE', '')),
  whole('extensions ten deep', 'R4 extensibility.html: they may nest', {
    ...glucose(),
    extension: [extensions(10)],
  }),
  whole(
    'extensions 100,000 deep',
    LIMITS,
    { ...glucose(), extension: [extensions(100_000)] },
    fatal('TOO_DEEP', O),
  ),
  whole(
    'lists 100,000 deep in an unknown element',
    JSON_PAGE,
    { ...glucose(), x: nested(100_000, 1, (inner) => [inner]) },
    structure(`${O}.x`),
  ),
  whole('concepts 60 deep', 'R4 CodeSystem.concept.concept', concepts(60)),
  whole(
    'concepts 64 deep, with the resource 65 levels',
    LIMITS,
    concepts(64),
    fatal('TOO_DEEP', 'CodeSystem'),
  ),
  whole('a bundle in a bundle in a bundle', 'R4 Bundle.entry.resource', bundles(2)),
  whole(
    '1,000 bundles in bundles',
    LIMITS,
    bundles(1000),
    fatal('TOO_DEEP', `Bundle${'.entry[0].resource'.repeat(4)}`),
  ),
  whole(
    '100,001 performers',
    LIMITS,
    { ...glucose(), performer: Array.from({ length: 100_001 }, () => 5) },
    fatal('TOO_MANY', O),
  ),
  whole(
    'a text of more than a megabyte',
    'R4 string: at most 1 MB',
    { ...glucose(), note: [{ text: 'a'.repeat(TOO_LONG) }] },
    fatal('TOO_LARGE', O),
  ),
  whole(
    'a key that reaches for the prototype',
    JSON_PAGE,
    JSON.parse(JSON.stringify(glucose()).replace('{', '{"__proto__":{"status":"x"},')),
    structure(O),
  ),
  whole(
    'a key named constructor',
    JSON_PAGE,
    { ...glucose(), constructor: 'x' },
    structure(`${O}.constructor`),
  ),
  whole(
    'a key named toString in a data type',
    JSON_PAGE,
    { ...glucose(), method: { text: 'm', toString: 'x' } },
    structure(`${O}.method.toString`),
  ),
  whole(
    'half a megabyte of < in a narrative',
    'R4 txt-1',
    { ...glucose(), text: { status: 'generated', div: div('<'.repeat(500_000)) } },
    invariant('txt-1', `${O}.text.\`div\``),
  ),
  whole(
    'half a megabyte of spaces in base64',
    'R4 base64Binary',
    { ...glucose(), extension: [{ url, valueBase64Binary: `AAAA${' '.repeat(500_000)}!` }] },
    structure(`${O}.extension[0].value`),
  ),
  whole(
    'a date of 100,000 digits',
    'R4 dateTime',
    { ...glucose(), issued: '2'.repeat(100_000) },
    structure(`${O}.issued`),
  ),
  whole('emoji and rare letters in a text', 'R4 string: Unicode', {
    ...glucose(),
    note: [{ text: 'naïve 🩺 ٣ \u{10FFFF}' }],
  }),
]
