import type { ValueSet, ValueSetComposeInclude } from 'fhir/r4.js'
import { LOINC, SYSTEM } from '../codes.ts'
import { narrativeText } from '../narrative-text.ts'
import type { OwnUrls } from '../own-urls.ts'
import { PLAUSIBILITY_CONCEPTS, TECHNIQUE_CONCEPTS } from './finding-concepts.ts'
import {
  ARM_CONCEPTS,
  ATTENTION_CONCEPTS,
  BASIS_CONCEPTS,
  type Concepts,
  LEFT_OUT_CONCEPTS,
  MEAN_CONCEPTS,
  SETTING_CONCEPTS,
} from './own-concepts.ts'
import { DOCUMENT_VERSION, nameOf } from './profile-definition.ts'

/** Our value sets. Each lists its codes, so that it can be judged without a terminology server. */
export function ownValueSets(own: OwnUrls): readonly ValueSet[] {
  const { attention: _, ...calls } = ATTENTION_CONCEPTS
  const { neither: __, ...arms } = ARM_CONCEPTS
  const ours = (concepts: Concepts) => included(own.codeSystem, concepts)
  const technique = included(own.findingSystem, TECHNIQUE_CONCEPTS)
  const plausibility = included(own.findingSystem, PLAUSIBILITY_CONCEPTS)
  return (
    [
      ['leftOutReasons', 'Why a reading is left out of an average', [ours(LEFT_OUT_CONCEPTS)]],
      [
        'findings',
        'Findings about readings',
        [included(own.findingSystem, { ...TECHNIQUE_CONCEPTS, ...PLAUSIBILITY_CONCEPTS }), ours(calls)],
      ],
      ['techniqueFindings', 'Findings about how a reading was taken', [technique]],
      ['plausibilityFindings', 'Findings about whether a reading can be true', [plausibility]],
      ['attentionCalls', 'What calls for attention', [ours(calls)]],
      ['settings', 'Where a reading was taken', [ours(SETTING_CONCEPTS)]],
      ['arms', 'Left or right', [ours(arms)]],
      ['higherArm', 'Which arm is higher', [ours(ARM_CONCEPTS)]],
      ['interArmBasis', 'What a difference between the arms rests on', [ours(BASIS_CONCEPTS)]],
      [
        'recordingMeans',
        'Means of a 24-hour recording',
        [ofLoinc('twentyFourHourPanel'), ours(MEAN_CONCEPTS)],
      ],
      [
        'recordingComponents',
        'Systolic and diastolic means of a recording',
        [ofLoinc('twentyFourHourSystolic', 'twentyFourHourDiastolic', 'meanSystolic', 'meanDiastolic')],
      ],
    ] as const
  ).map(([name, title, include]) => valueSet(own.valueSet[name], title, [...include]))
}

function included(system: string, concepts: Concepts): ValueSetComposeInclude {
  return {
    system,
    concept: Object.entries(concepts).map(([code, [display]]) => ({ code, display })),
  }
}

function ofLoinc(...names: readonly (keyof typeof LOINC)[]): ValueSetComposeInclude {
  return { system: SYSTEM.loinc, concept: names.map((name) => ({ ...LOINC[name] })) }
}

function valueSet(url: string, title: string, include: ValueSetComposeInclude[]): ValueSet {
  const id = url.slice(url.lastIndexOf('/') + 1)
  const loinc = include.some(({ system }) => system === SYSTEM.loinc)
  return {
    resourceType: 'ValueSet',
    id,
    text: narrativeText([title]),
    url,
    version: DOCUMENT_VERSION,
    name: nameOf(id),
    title,
    status: 'active',
    experimental: false,
    description: `${title}, as the home blood pressure gateway writes it.`,
    immutable: false,
    ...(loinc ? { copyright: LOINC_NOTICE } : {}),
    compose: { include },
  }
}

/** Source: the wording HL7’s terminology authority expects, HL7 Confluence, LOINC notice. */
const LOINC_NOTICE =
  'This material contains content from LOINC (http://loinc.org). LOINC is copyright © 1995-2020, Regenstrief Institute, Inc. and the Logical Observation Identifiers Names and Codes (LOINC) Committee and is available at no cost under the license at http://loinc.org/license. LOINC® is a registered United States trademark of Regenstrief Institute, Inc.'
