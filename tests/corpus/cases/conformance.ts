import { type CorpusCase, changes, structure, whole } from '../corpus-case.ts'
import { capabilityStatement, codeSystem, structureDefinition, valueSet } from '../examples/conformance.ts'

/** Conformance resources are judged by R4's structure; what is not judged of them is said as information. */
export const conformanceCases: readonly CorpusCase[] = [
  whole('code system', 'R4 codesystem-example', codeSystem()),
  whole('value set', 'R4 valueset-example', valueSet()),
  whole('capability statement', 'R4 capabilitystatement-example', capabilityStatement()),
  whole('structure definition', 'R4 structuredefinition.html', structureDefinition()),
  ...changes('code system', codeSystem, [
    ['no status', 'R4 CodeSystem.status 1..1', 'status', undefined, structure('CodeSystem.status')],
    [
      'an unknown status',
      'R4 value set publication-status, required',
      'status',
      'final',
      structure('CodeSystem.status'),
    ],
    ['no content', 'R4 CodeSystem.content 1..1', 'content', undefined, structure('CodeSystem.content')],
    [
      'unknown content',
      'R4 value set codesystem-content-mode, required',
      'content',
      'full',
      structure('CodeSystem.content'),
    ],
    [
      'a concept without code',
      'R4 CodeSystem.concept.code 1..1',
      'concept.0.code',
      undefined,
      structure('CodeSystem.concept[0].code'),
    ],
  ]),
  ...changes('value set', valueSet, [
    [
      'includes nothing',
      'R4 ValueSet.compose.include 1..*',
      'compose',
      { inactive: false },
      structure('ValueSet.compose.include'),
    ],
    ['an unknown element', 'R4 ValueSet', 'codes', ['a'], structure('ValueSet.codes')],
  ]),
  ...changes('capability statement', capabilityStatement, [
    ['no kind', 'R4 CapabilityStatement.kind 1..1', 'kind', undefined, structure('CapabilityStatement.kind')],
    ['no date', 'R4 CapabilityStatement.date 1..1', 'date', undefined, structure('CapabilityStatement.date')],
    [
      'no format',
      'R4 CapabilityStatement.format 1..*',
      'format',
      undefined,
      structure('CapabilityStatement.format'),
    ],
    [
      'a server of unknown mode',
      'R4 value set restful-capability-mode, required',
      'rest.0.mode',
      'both',
      structure('CapabilityStatement.rest[0].mode'),
    ],
  ]),
  ...changes('structure definition', structureDefinition, [
    ['no kind', 'R4 StructureDefinition.kind 1..1', 'kind', undefined, structure('StructureDefinition.kind')],
    [
      'abstract as text',
      'R4 json.html: booleans',
      'abstract',
      'false',
      structure('StructureDefinition.abstract'),
    ],
    [
      'an element without path',
      'R4 ElementDefinition.path 1..1',
      'differential.element.1.path',
      undefined,
      structure('StructureDefinition.differential.element[1].path'),
    ],
    [
      'a negative minimum',
      'R4 unsignedInt',
      'differential.element.1.min',
      -1,
      structure('StructureDefinition.differential.element[1].min'),
    ],
  ]),
]
