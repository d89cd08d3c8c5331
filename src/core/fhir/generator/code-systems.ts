import type { CodeSystem } from 'fhir/r4.js'
import { ERROR_CODES } from '../../basics/error-codes.ts'
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
import { DOCUMENT_VERSION } from './profile-definition.ts'

/** Our code systems, complete. */
export function ownCodeSystems(own: OwnUrls): readonly CodeSystem[] {
  return [
    codeSystem(
      own.codeSystem,
      'HomeBpGateway',
      'Codes of the home blood pressure gateway',
      'What this gateway writes and no published code system it knows has a code for. A concept is added, never changed or removed.',
      {
        ...MEAN_CONCEPTS,
        ...ATTENTION_CONCEPTS,
        ...LEFT_OUT_CONCEPTS,
        ...SETTING_CONCEPTS,
        ...ARM_CONCEPTS,
        ...BASIS_CONCEPTS,
      },
    ),
    codeSystem(
      own.findingSystem,
      'HomeBpFindings',
      'Findings of the home blood pressure gateway',
      'What is noticed about how a reading was taken and whether it can be true. It stands beside a value and never changes it. A concept is added, never changed or removed.',
      { ...TECHNIQUE_CONCEPTS, ...PLAUSIBILITY_CONCEPTS },
    ),
    codeSystem(
      own.errorSystem,
      'HomeBpErrors',
      'Error codes of the home blood pressure gateway',
      'What an OperationOutcome of this gateway says is wrong: each code with its meaning, and what to do as its definition. A code is added, never given a new meaning.',
      ERROR_CODES,
    ),
  ]
}

function codeSystem(
  url: string,
  name: string,
  title: string,
  description: string,
  concepts: Concepts,
): CodeSystem {
  const concept = Object.entries(concepts).map(([code, [display, definition]]) => ({
    code,
    display,
    definition,
  }))
  return {
    resourceType: 'CodeSystem',
    id: url.slice(url.lastIndexOf('/') + 1),
    text: narrativeText([title, description]),
    url,
    version: DOCUMENT_VERSION,
    name,
    title,
    status: 'active',
    experimental: false,
    description,
    caseSensitive: true,
    content: 'complete',
    count: concept.length,
    concept,
  }
}
