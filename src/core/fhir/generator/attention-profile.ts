import type { StructureDefinition } from 'fhir/r4.js'
import type { OwnUrls } from '../own-urls.ts'
import { baseType, conceptWith, element, invariant, referenceTo, slicedBy } from './element.ts'
import { ONE_PATIENT, ownIdentifier } from './parts-of-observations.ts'
import { profileDefinition } from './profile-definition.ts'

const TAKEN_BACK = invariant(
  'hbp-3',
  'A call stands unless it was entered in error.',
  "value = (status != 'entered-in-error')",
)

/** A call for attention about one session. */
export function attentionProfile(own: OwnUrls): StructureDefinition {
  return profileDefinition({
    url: own.profile.attention,
    title: 'Call for attention to home readings',
    description:
      'Something in home readings that a clinic may want to see ahead of their average, by the clinic’s own limits. It ' +
      'is no diagnosis and no emergency service.',
    type: 'Observation',
    base: baseType('Observation'),
    constraint: TAKEN_BACK,
    elements: [
      element('Observation.text', { min: 1, mustSupport: true }),
      ...ownIdentifier('Observation', own.identifier.attention),
      element('Observation.status', { mustSupport: true }),
      element('Observation.category', { ...slicedBy('pattern', '$this'), min: 1, mustSupport: true }),
      element('Observation.category:attention', {
        min: 1,
        max: '1',
        ...conceptWith(own.codeSystem, 'attention'),
      }),
      element('Observation.code', {
        mustSupport: true,
        binding: { strength: 'required', valueSet: own.valueSet.attentionCalls },
      }),
      element('Observation.subject', ONE_PATIENT),
      element('Observation.effective[x]', { min: 1, type: [{ code: 'dateTime' }], mustSupport: true }),
      element('Observation.issued', { mustSupport: true }),
      element('Observation.value[x]', {
        short: 'Whether the call stands',
        min: 1,
        type: [{ code: 'boolean' }],
        mustSupport: true,
      }),
      element('Observation.interpretation', { max: '1' }),
      element('Observation.note', { short: 'What was found, in sentences', min: 1, mustSupport: true }),
      element('Observation.derivedFrom', {
        short: 'The readings it rests on',
        min: 1,
        ...referenceTo(own.profile.homeReading),
        mustSupport: true,
      }),
    ],
  })
}
