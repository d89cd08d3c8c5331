import { type CorpusCase, changes, code, warning, whole } from '../corpus-case.ts'
import { concept, quantity } from '../examples/coded.ts'
import { patient } from '../examples/people-and-things.ts'
import { glucose, withoutValue } from '../examples/readings.ts'

const P = 'Patient'
const ALL_LANGUAGES = 'R4 value set all-languages, the maximum: BCP 47'
const MIME_TYPES = 'R4 value set mimetypes, required: RFC 6838'
const IDENTIFIER = 'R4 datatypes.html, Identifier: a system is a URI'
const FULL_URI = 'R4 Identifier.value: a full URI is of the system urn:ietf:rfc:3986'
const SAMPLED = 'R4 datatypes.html, SampledData.data'
const URIS = 'urn:ietf:rfc:3986'
const BCP_47 = 'urn:ietf:bcp:47'
const SPOKEN = `${P}.communication[0].language`

const ofPatient = changes('patient', patient, [
  ['a language with script and region', ALL_LANGUAGES, 'language', 'zh-Hant-TW'],
  ['a language of private use', ALL_LANGUAGES, 'language', 'x-clinic'],
  ['a language of signs only', ALL_LANGUAGES, 'language', '!!', code('language', `${P}.language`)],
  ['a language with an underscore', ALL_LANGUAGES, 'language', 'en_US', code('language', `${P}.language`)],
  ['a language by its name', ALL_LANGUAGES, 'language', 'English', code('language', `${P}.language`)],
  [
    'a spoken language that is no tag',
    ALL_LANGUAGES,
    'communication',
    [{ language: concept(BCP_47, 'nl_NL') }],
    code('language', `${SPOKEN}.coding[0].code`),
  ],
  [
    'a spoken language in local codes only',
    ALL_LANGUAGES,
    'communication',
    [{ language: concept('https://a.example/languages', 'dutch') }],
    warning(code('language', SPOKEN)),
  ],
  [
    'a spoken language in local codes beside a tag',
    ALL_LANGUAGES,
    'communication',
    [
      {
        language: {
          coding: [
            { system: 'https://a.example/languages', code: 'dutch' },
            { system: BCP_47, code: 'nl' },
          ],
        },
      },
    ],
  ],
  ['a spoken language in words', ALL_LANGUAGES, 'communication', [{ language: { text: 'Dutch' } }]],
  [
    'a photo of no language',
    ALL_LANGUAGES,
    'photo',
    [{ url: 'https://a.example/1.gif', language: '-' }],
    code('language', `${P}.photo[0].language`),
  ],
  ['a photo with parameters', MIME_TYPES, 'photo', [{ contentType: 'image/svg+xml; charset=UTF-8' }]],
  [
    'a photo by its file ending',
    MIME_TYPES,
    'photo',
    [{ contentType: 'jpg' }],
    code('mime-type', `${P}.photo[0].contentType`),
  ],
  [
    'a photo without subtype',
    MIME_TYPES,
    'photo',
    [{ contentType: 'image/' }],
    code('mime-type', `${P}.photo[0].contentType`),
  ],
  ['an identifier of an OID', IDENTIFIER, 'identifier.0.system', 'urn:oid:1.2.36.1'],
  [
    'an identifier of a local system',
    IDENTIFIER,
    'identifier.0.system',
    'mrn',
    code('identifier-system', `${P}.identifier[0].system`),
  ],
  [
    'an identifier of a bare OID',
    IDENTIFIER,
    'identifier.0.system',
    '1.2.36.1',
    code('identifier-system', `${P}.identifier[0].system`),
  ],
  [
    'an identifier of a malformed UUID',
    IDENTIFIER,
    'identifier.0.system',
    'urn:uuid:53fefa32',
    code('identifier-system', `${P}.identifier[0].system`),
  ],
  [
    'an identifier that is a UUID',
    FULL_URI,
    'identifier.0',
    { system: URIS, value: 'urn:uuid:53fefa32-fcbb-4ff8-8a92-55ee120877b7' },
  ],
  [
    'an identifier that is a URL',
    FULL_URI,
    'identifier.0',
    { system: URIS, value: 'https://clinic.example/77' },
  ],
  [
    'an identifier among URIs that is none',
    FULL_URI,
    'identifier.0',
    { system: URIS, value: '53fefa32-fcbb-4ff8-8a92-55ee120877b7' },
    code('identifier-value', `${P}.identifier[0].value`),
  ],
  [
    'an identifier among URIs that is a malformed OID',
    FULL_URI,
    'identifier.0',
    { system: URIS, value: 'urn:oid:1.2.' },
    code('identifier-value', `${P}.identifier[0].value`),
  ],
  [
    'an identifier that is a UUID of a system of its own',
    FULL_URI,
    'identifier.0',
    { system: 'https://clinic.example/ids', value: 'urn:uuid:53fefa32-fcbb-4ff8-8a92-55ee120877b7' },
    warning(code('identifier-value', `${P}.identifier[0].system`)),
  ],
  [
    'an identifier that is a URL without system',
    FULL_URI,
    'identifier.0',
    { value: 'https://clinic.example/77' },
    warning(code('identifier-value', `${P}.identifier[0].system`)),
  ],
])

const ofReferences = changes('glucose', glucose, [
  [
    'its patient by an identifier of a local system',
    IDENTIFIER,
    'subject',
    { identifier: { system: 'mrn', value: '1' } },
    code('identifier-system', 'Observation.subject.identifier.system'),
  ],
])

const points = (data: string) => ({ origin: quantity(0, 'mm[Hg]'), period: 10, dimensions: 1, data })
const wrongPoints = code('sampled-data', 'Observation.value.data')

const ofRecordings = changes('observation', withoutValue, [
  ['decimals of all kinds', SAMPLED, 'valueSampledData', points('107 -0.5 1e2 E U L')],
  ['points with commas', SAMPLED, 'valueSampledData', points('107,108'), wrongPoints],
  ['points with two spaces between', SAMPLED, 'valueSampledData', points('107  108'), wrongPoints],
  ['points with letters R4 has no meaning for', SAMPLED, 'valueSampledData', points('107 N'), wrongPoints],
  ['points with a space at the end', SAMPLED, 'valueSampledData', points('107 '), wrongPoints],
])

export const codedTextCases: readonly CorpusCase[] = [
  ...ofPatient,
  ...ofReferences,
  ...ofRecordings,
  whole(
    'a Binary by its file ending',
    MIME_TYPES,
    { resourceType: 'Binary', contentType: 'pdf' },
    code('mime-type', 'Binary.contentType'),
  ),
]
