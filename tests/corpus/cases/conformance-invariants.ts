import { type CorpusCase, changes, invariant, warning } from '../corpus-case.ts'
import { capabilityStatement, codeSystem, structureDefinition, valueSet } from '../examples/conformance.ts'

const INCLUDE = 'ValueSet.compose.include[0]'
const CPB = 'CapabilityStatement'
const SDF = 'StructureDefinition'
const ELEMENT = `${SDF}.differential.element[1]`
const expansion = (contains: object) => ({ timestamp: '2026-03-02', contains: [contains] })

export const conformanceInvariantCases: readonly CorpusCase[] = [
  ...changes('value set', valueSet, [
    ['codes of a system', 'R4 vsd-2', 'compose.include.0.concept', [{ code: 'first-day' }]],
    [
      'a value set in a value set',
      'R4 vsd-1',
      'compose.include.0',
      { valueSet: ['https://a.example/ValueSet/1'] },
    ],
    [
      'a name without capital',
      'R4 vsd-0, a warning',
      'name',
      'home reading',
      warning(invariant('vsd-0', 'ValueSet.name')),
    ],
    [
      'includes neither system nor value set',
      'R4 vsd-1',
      'compose.include.0',
      { version: '1' },
      invariant('vsd-1', INCLUDE),
    ],
    [
      'codes of no system',
      'R4 vsd-2',
      'compose.include.0',
      { valueSet: ['https://a.example/ValueSet/1'], concept: [{ code: 'a' }] },
      invariant('vsd-2', INCLUDE),
    ],
    [
      'codes and a filter',
      'R4 vsd-3',
      'compose.include.0',
      {
        system: 'https://a.example',
        concept: [{ code: 'a' }],
        filter: [{ property: 'p', op: '=', value: 'v' }],
      },
      invariant('vsd-3', INCLUDE),
    ],
    [
      'an expansion',
      'R4 vsd-6, vsd-9, vsd-10',
      'expansion',
      expansion({ system: 'https://a.example', code: 'a' }),
    ],
    [
      'an expansion of neither code nor display',
      'R4 vsd-6',
      'expansion',
      expansion({ abstract: true }),
      invariant('vsd-6', 'ValueSet.expansion.contains[0]'),
    ],
    [
      'an expansion without code that is not abstract',
      'R4 vsd-9',
      'expansion',
      expansion({ display: 'A' }),
      invariant('vsd-9', 'ValueSet.expansion.contains[0]'),
    ],
    [
      'an expansion of a code of no system',
      'R4 vsd-10',
      'expansion',
      expansion({ code: 'a' }),
      invariant('vsd-10', 'ValueSet.expansion.contains[0]'),
    ],
  ]),
  ...changes('code system', codeSystem, [
    ['a concept below', 'R4 csd-1', 'concept.0.concept', [{ code: 'first-morning' }]],
    [
      'a code twice',
      'R4 csd-1',
      'concept.1',
      { code: 'first-day' },
      invariant('csd-1', 'CodeSystem.concept[1].code'),
    ],
    [
      'a name with a hyphen',
      'R4 csd-0, a warning',
      'name',
      'home-reading',
      warning(invariant('csd-0', 'CodeSystem.name')),
    ],
  ]),
  ...changes('capability statement', capabilityStatement, [
    ['two types', 'R4 cpb-9', 'rest.0.resource.1', { type: 'Patient' }],
    ['neither rest, messaging nor document', 'R4 cpb-1', 'rest', undefined, invariant('cpb-1', CPB)],
    [
      'an instance without implementation',
      'R4 cpb-14; cpb-2',
      'implementation',
      undefined,
      invariant('cpb-14', CPB),
      invariant('cpb-2', CPB),
    ],
    ['capabilities of an implementation', 'R4 cpb-15', 'kind', 'capability', invariant('cpb-15', CPB)],
    ['requirements of an implementation', 'R4 cpb-16', 'kind', 'requirements', invariant('cpb-16', CPB)],
    [
      'a type twice',
      'R4 cpb-9',
      'rest.0.resource.1',
      { type: 'Observation' },
      invariant('cpb-9', `${CPB}.rest[0].resource[1].type`),
    ],
    [
      'a search parameter twice',
      'R4 cpb-12',
      'rest.0.resource.0.searchParam',
      [
        { name: 'code', type: 'token' },
        { name: 'code', type: 'string' },
      ],
      invariant('cpb-12', `${CPB}.rest[0].resource[0].searchParam[1].name`),
    ],
  ]),
  ...changes('structure definition', structureDefinition, [
    ['neither snapshot nor differential', 'R4 sdf-6', 'differential', undefined, invariant('sdf-6', SDF)],
    ['no base', 'R4 sdf-4', 'baseDefinition', undefined, invariant('sdf-4', SDF)],
    ['abstract without base', 'R4 sdf-4', 'abstract', true],
    [
      'an element of another type',
      'R4 sdf-8a',
      'differential.element.1',
      { id: 'Patient.name', path: 'Patient.name', min: 1 },
      invariant('sdf-8a', `${SDF}.differential`),
    ],
    ['an id twice', 'R4 sdf-17', 'differential.element.1.id', 'Observation', invariant('sdf-17', ELEMENT)],
    [
      'an element without id',
      'R4 sdf-14; sdf-17',
      'differential.element.1.id',
      undefined,
      invariant('sdf-14', ELEMENT),
      invariant('sdf-17', ELEMENT),
    ],
    [
      'a slicing of the whole',
      'R4 sdf-20',
      'differential.element.0.slicing',
      { rules: 'open', description: 'd' },
      invariant('sdf-20', `${SDF}.differential`),
    ],
    [
      'a minimum above the maximum',
      'R4 eld-2',
      'differential.element.1',
      { id: 'Observation.note', path: 'Observation.note', min: 2, max: '1' },
      invariant('eld-2', ELEMENT),
    ],
    [
      'a fixed value of two types',
      'R4 eld-6',
      'differential.element.1',
      {
        id: 'Observation.value',
        path: 'Observation.value[x]',
        type: [{ code: 'string' }, { code: 'integer' }],
        fixedString: 'a',
      },
      invariant('eld-6', ELEMENT),
    ],
    [
      'a fixed value and a pattern',
      'R4 eld-8',
      'differential.element.1',
      { id: 'Observation.status', path: 'Observation.status', fixedCode: 'final', patternCode: 'final' },
      invariant('eld-8', ELEMENT),
    ],
    [
      'a type twice',
      'R4 eld-13',
      'differential.element.1',
      {
        id: 'Observation.value',
        path: 'Observation.value[x]',
        type: [{ code: 'string' }, { code: 'string' }],
      },
      invariant('eld-13', `${ELEMENT}.type[1]`),
    ],
    [
      'a target of a string',
      'R4 eld-17',
      'differential.element.1',
      {
        id: 'Observation.value',
        path: 'Observation.value[x]',
        type: [{ code: 'string', targetProfile: ['https://a.example'] }],
      },
      invariant('eld-17', `${ELEMENT}.type[0]`),
    ],
    [
      'a modifier without reason',
      'R4 eld-18',
      'differential.element.1',
      { id: 'Observation.note', path: 'Observation.note', isModifier: true },
      invariant('eld-18', ELEMENT),
    ],
    [
      'a maximum that is no number',
      'R4 eld-3',
      'differential.element.1',
      { id: 'Observation.note', path: 'Observation.note', max: 'many' },
      invariant('eld-3', `${ELEMENT}.max`),
    ],
    [
      'a slicing by nothing',
      'R4 eld-1',
      'differential.element.1',
      { id: 'Observation.note', path: 'Observation.note', slicing: { rules: 'open' } },
      invariant('eld-1', `${ELEMENT}.slicing`),
    ],
  ]),
]
