import type { ElementDefinition } from 'fhir/r4.js'
import { SYSTEM } from '../codes.ts'
import type { OwnUrls } from '../own-urls.ts'
import { baseType, conceptWith, element, type Rules, referenceTo, slicedBy } from './element.ts'

/** Our own identifier, once; a server or a clinic may add others. */
export function ownIdentifier(type: string, system: string): readonly ElementDefinition[] {
  return [
    element(`${type}.identifier`, { ...slicedBy('value', 'system'), min: 1, mustSupport: true }),
    element(`${type}.identifier:gateway`, {
      short: 'The gateway’s identifier: a UUID that sending again does not change',
      min: 1,
      max: '1',
      mustSupport: true,
    }),
    element(`${type}.identifier:gateway.system`, { min: 1, fixedUri: system }),
    element(`${type}.identifier:gateway.value`, { min: 1 }),
  ]
}

/** The category of vital signs, once. */
export const VITAL_SIGNS_CATEGORY: readonly ElementDefinition[] = [
  element('Observation.category', { ...slicedBy('pattern', '$this'), min: 1, mustSupport: true }),
  element('Observation.category:vitalSigns', {
    min: 1,
    max: '1',
    ...conceptWith(SYSTEM.observationCategory, 'vital-signs'),
  }),
]

/** The patient, who measured at home and is therefore also the performer. */
export const ONE_PATIENT: Rules = { min: 1, ...referenceTo(baseType('Patient')), mustSupport: true }

/** A time averaged over, with both its ends. */
export const WHOLE_PERIOD: readonly ElementDefinition[] = [
  element('Observation.effective[x]', { min: 1, type: [{ code: 'Period' }], mustSupport: true }),
  element('Observation.effective[x].start', { min: 1 }),
  element('Observation.effective[x].end', { min: 1 }),
]

/**
 * An extension of ours by its definition: how often it stands on the resource. Must-support is what a reader should miss
 * when it is not there, so not what is written only now and then.
 */
export function ownExtension(
  name: keyof OwnUrls['extension'],
  url: OwnUrls['extension'],
  min: number,
  max: '1' | '*',
): ElementDefinition {
  return element(`Observation.extension:${name}`, {
    min,
    max,
    type: [{ code: 'Extension', profile: [url[name]] }],
    ...(min > 0 || max === '*' ? { mustSupport: true } : {}),
  })
}

/** An extension of others by its URL and the type of its value, because its definition does not ship. */
export function publishedExtension(
  name: string,
  url: string,
  code: string,
  min: number,
  mustSupport = min > 0,
): readonly ElementDefinition[] {
  const id = `Observation.extension:${name}`
  return [
    element(id, { min, max: '1', ...(mustSupport ? { mustSupport } : {}) }),
    element(`${id}.url`, { fixedUri: url }),
    element(`${id}.value[x]`, { min: 1, type: [{ code }] }),
  ]
}

export const EXTENSIONS_BY_URL: ElementDefinition = element('Observation.extension', slicedBy('value', 'url'))
