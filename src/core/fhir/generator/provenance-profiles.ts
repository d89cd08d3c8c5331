import type { ElementDefinition, StructureDefinition } from 'fhir/r4.js'
import { SYSTEM } from '../codes.ts'
import type { OwnUrls } from '../own-urls.ts'
import { baseType, conceptWith, element, type Rules, referenceTo, slicedBy } from './element.ts'
import { profileDefinition } from './profile-definition.ts'

/** Where the resources of a session, and the averages of a period, come from. */
export function provenanceProfiles(own: OwnUrls): readonly StructureDefinition[] {
  return [submission(own), average(own)]
}

function submission(own: OwnUrls): StructureDefinition {
  return profileDefinition({
    url: own.profile.submissionProvenance,
    title: 'Where the resources of a session come from',
    description:
      'The gateway assembled them on the patient’s behalf from one record, named by its id and the SHA-256 of its ' +
      'bytes. Where the patient typed the numbers, the patient is the one who entered them.',
    type: 'Provenance',
    base: baseType('Provenance'),
    elements: [
      ...frame(own),
      ...assembler(),
      ...agent('enterer', 0, 'The patient, where the numbers were typed'),
      element('Provenance.agent:enterer.who', referenceTo(baseType('Patient'))),
      ...entities(
        entity('source', { short: 'The record as it was received', min: 1, max: '1' }, hashOfRecord(own)),
        namedBy('Provenance.entity:source', own.identifier.session),
        revision('1'),
      ),
    ],
  })
}

function average(own: OwnUrls): StructureDefinition {
  return profileDefinition({
    url: own.profile.averageProvenance,
    title: 'Where the averages of a period come from',
    description:
      'The gateway computed them on the patient’s behalf when the period was closed, from the readings each derives from.',
    type: 'Provenance',
    base: baseType('Provenance'),
    elements: [
      ...frame(own),
      ...assembler(),
      ...entities(
        entity('derivation', { short: 'The readings of the measurement period', min: 1, max: '1' }),
        namedBy('Provenance.entity:derivation', own.identifier.period),
        revision('*'),
      ),
    ],
  })
}

function hashOfRecord(own: OwnUrls): readonly ElementDefinition[] {
  const id = 'Provenance.entity:source.extension'
  return [
    element(id, { ...slicedBy('value', 'url'), min: 1 }),
    element(`${id}:recordSha256`, {
      min: 1,
      max: '1',
      type: [{ code: 'Extension', profile: [own.extension.recordSha256] }],
      mustSupport: true,
    }),
  ]
}

/** A Provenance has no identifier in R4, so ours is a tag. */
function frame(own: OwnUrls): readonly ElementDefinition[] {
  return [
    element('Provenance.meta', { min: 1 }),
    element('Provenance.meta.tag', { ...slicedBy('value', 'system'), min: 1, mustSupport: true }),
    element('Provenance.meta.tag:gateway', { min: 1, max: '1' }),
    element('Provenance.meta.tag:gateway.system', { min: 1, fixedUri: own.identifier.provenance }),
    element('Provenance.meta.tag:gateway.code', { min: 1 }),
    element('Provenance.target', { ...referenceTo(baseType('Observation')), mustSupport: true }),
    element('Provenance.recorded', { mustSupport: true }),
    element('Provenance.activity', {
      short: 'CREATE as first sent, UPDATE for each change',
      min: 1,
      mustSupport: true,
    }),
    element('Provenance.agent', { ...slicedBy('pattern', 'type'), mustSupport: true }),
  ]
}

function agent(code: string, min: 0 | 1, short: string): readonly ElementDefinition[] {
  const id = `Provenance.agent:${code}`
  return [
    element(id, { short, min, max: '1', mustSupport: true }),
    element(`${id}.type`, { min: 1, ...conceptWith(SYSTEM.provenanceParticipant, code) }),
  ]
}

/** The gateway, which assembles on the patient's behalf. */
function assembler(): readonly ElementDefinition[] {
  return [
    ...agent('assembler', 1, 'The gateway'),
    element('Provenance.agent:assembler.onBehalfOf', { min: 1, ...referenceTo(baseType('Patient')) }),
  ]
}

function entities(...slices: readonly (readonly ElementDefinition[])[]): readonly ElementDefinition[] {
  return [
    element('Provenance.entity', { ...slicedBy('value', 'role'), min: 1, mustSupport: true }),
    ...slices.flat(),
  ]
}

/** One part the entities play. Extensions stand before the role, as in R4's own order. */
function entity(
  role: string,
  rules: Rules,
  extension: readonly ElementDefinition[] = [],
): readonly ElementDefinition[] {
  const id = `Provenance.entity:${role}`
  return [
    element(id, { ...rules, mustSupport: true }),
    ...extension,
    element(`${id}.role`, { fixedCode: role }),
  ]
}

function revision(max: '1' | '*'): readonly ElementDefinition[] {
  return entity('revision', { short: 'What this one replaces', max })
}

function namedBy(id: string, system: string): readonly ElementDefinition[] {
  return [
    element(`${id}.what.identifier`, { min: 1 }),
    element(`${id}.what.identifier.system`, { min: 1, fixedUri: system }),
    element(`${id}.what.identifier.value`, { min: 1 }),
  ]
}
