import { abilitiesOf, type ClinicBehaviour, type TypeAbilities } from './clinic-behaviour.ts'
import type { ClinicContext } from './clinic-context.ts'
import { ClinicRefusal } from './clinic-refusal.ts'
import { type ClinicResource, codesOf, isObject, items } from './clinic-resource.ts'
import type { PlannedWrite } from './kept-resources.ts'
import { readCriteria } from './search-criteria.ts'

/** A create or an update as it is asked for, singly or as an entry. */
export interface AskedWrite {
  readonly method: 'POST' | 'PUT'
  readonly type: string
  /** PUT to an id. */
  readonly id?: string
  /** Query of a conditional create (`If-None-Exist`) or of a conditional update. */
  readonly condition?: string
  /** Version, without quotes. */
  readonly ifMatch?: string
  readonly resource: ClinicResource
  readonly inTransaction: boolean
}

export type WritePlan =
  | { readonly kind: 'write'; readonly status: 200 | 201; readonly write: PlannedWrite }
  /** A conditional create that matched: nothing is done. */
  | { readonly kind: 'matched'; readonly held: ClinicResource }

/**
 * Decides what a write comes to; does nothing. Source: FHIR R4 4.0.1 http.html#create, #ccreate, #update, #cond-update,
 * #upsert, #concurrency.
 *
 * @throws ClinicRefusal
 */
export function planWrite(asked: AskedWrite, context: ClinicContext): WritePlan {
  const { behaviour } = context
  const can = abilitiesOf(behaviour, asked.type)
  if (can === undefined) throw new ClinicRefusal(404, 'not-supported', `${asked.type} is not served`)
  checkResource(asked.resource, asked.type, behaviour)
  return asked.method === 'POST' ? planCreate(asked, can, context) : planUpdate(asked, can, context)
}

function planCreate(asked: AskedWrite, can: TypeAbilities, context: ClinicContext): WritePlan {
  const { kept, behaviour } = context
  if (!can.create) throw new ClinicRefusal(405, 'not-supported', `${asked.type} cannot be created`)
  const write = { action: 'create', id: kept.newId(), resource: asked.resource } as const
  const created: WritePlan = { kind: 'write', status: 201, write }
  if (asked.condition === undefined || !isConditionHeld(asked, can.conditionalCreate, behaviour))
    return created
  const [held, ...more] = matches(asked, asked.condition, context)
  if (held === undefined) return created
  if (more.length > 0 && behaviour.severalMatches === 'refused') throw severalMatches(asked, more.length + 1)
  if (behaviour.oneMatch !== 'matched') {
    throw new ClinicRefusal(behaviour.oneMatch, 'duplicate', `${asked.type}: the unique index says no`)
  }
  return { kind: 'matched', held }
}

function planUpdate(asked: AskedWrite, can: TypeAbilities, context: ClinicContext): WritePlan {
  const { kept } = context
  if (!can.update) throw new ClinicRefusal(405, 'not-supported', `${asked.type} cannot be updated`)
  if (asked.condition === undefined) return planPut(asked, asked.id ?? '', can, context)
  if (!can.conditionalUpdate || !isConditionHeld(asked, true, context.behaviour)) {
    throw new ClinicRefusal(400, 'not-supported', 'Conditional update is not supported')
  }
  const [held, ...more] = matches(asked, asked.condition, context)
  if (more.length > 0 && context.behaviour.severalMatches === 'refused')
    throw severalMatches(asked, more.length + 1)
  const { id: ownId } = asked.resource
  if (held === undefined) {
    if (typeof ownId === 'string') return planPut(asked, ownId, can, context)
    return {
      kind: 'write',
      status: 201,
      write: { action: 'create', id: kept.newId(), resource: asked.resource },
    }
  }
  if (ownId !== undefined && ownId !== held.id) {
    throw new ClinicRefusal(400, 'invariant', 'The id of the resource is not that of the match')
  }
  return planPut({ ...asked, resource: { ...asked.resource, id: held.id } }, String(held.id), can, context)
}

function planPut(asked: AskedWrite, id: string, can: TypeAbilities, context: ClinicContext): WritePlan {
  const { kept, behaviour } = context
  const { type, resource, ifMatch } = asked
  if (resource.id !== id)
    throw new ClinicRefusal(400, 'invariant', 'The id of the resource is not that of the URL')
  const newest = kept.newest(type, id)
  if (newest === undefined) {
    if (ifMatch !== undefined && behaviour.ifMatch !== 'ignored') throw stale(behaviour, type)
    if (!can.updateCreate)
      throw new ClinicRefusal(405, 'not-supported', `${type}: ids are the server’s to give`)
    return { kind: 'write', status: 201, write: { action: 'create', id, resource } }
  }
  if (newest.resource === undefined && behaviour.updateOfDeleted === 'gone') {
    throw new ClinicRefusal(410, 'deleted', `${type} was deleted`)
  }
  if (ifMatch === undefined && behaviour.ifMatch === 'required') {
    throw new ClinicRefusal(400, 'required', 'If-Match is required')
  }
  const isStale = ifMatch !== undefined && ifMatch !== String(newest.version)
  if (isStale && behaviour.ifMatch !== 'ignored') throw stale(behaviour, type)
  return { kind: 'write', status: 200, write: { action: 'update', id, resource } }
}

function stale({ staleStatus }: ClinicBehaviour, type: string): ClinicRefusal {
  return new ClinicRefusal(staleStatus, 'conflict', `${type}: the version is another one`)
}

function severalMatches({ type }: AskedWrite, count: number): ClinicRefusal {
  return new ClinicRefusal(412, 'multiple-matches', `${type}: the condition matched ${count} resources`)
}

/** False where the condition is passed over in silence. */
function isConditionHeld(asked: AskedWrite, supported: boolean, behaviour: ClinicBehaviour): boolean {
  const { unsupportedCondition, conditionInTransaction } = behaviour
  if (asked.inTransaction && conditionInTransaction === 'ignored') return false
  if (asked.inTransaction && conditionInTransaction === 'refused') {
    throw new ClinicRefusal(400, 'not-supported', 'Conditions are not supported in a transaction')
  }
  if (supported) return true
  if (unsupportedCondition === 'ignored') return false
  throw new ClinicRefusal(unsupportedCondition, 'not-supported', 'Conditional create is not supported')
}

function matches(asked: AskedWrite, condition: string, { kept, behaviour, now }: ClinicContext) {
  const text = asked.method === 'POST' ? queryOf(condition, asked.type, behaviour) : condition
  const { criteria, unknown } = readCriteria(new URLSearchParams(text))
  if (unknown.length > 0)
    throw new ClinicRefusal(400, 'not-supported', 'The condition has unknown parameters')
  if (criteria.length === 0) throw new ClinicRefusal(412, 'multiple-matches', 'The condition selects nothing')
  const { conditionSelects } = behaviour
  const passesOver =
    conditionSelects === 'anything' || (conditionSelects === 'any-device' && asked.type === 'Device')
  const selecting = passesOver ? [] : criteria
  return kept.find(asked.type, selecting, now() - behaviour.conditionLagMs)
}

/** What follows the `?`, where the condition has the form this server takes. */
function queryOf(condition: string, type: string, { condition: form }: ClinicBehaviour): string {
  const written = condition.startsWith(`${type}?`) ? 'typed' : condition.startsWith('?') ? 'marked' : 'plain'
  const isTaken = form === 'any' || form === written
  if (!isTaken) throw new ClinicRefusal(400, 'invalid', 'Invalid match URL')
  return condition.slice(condition.indexOf('?') + 1)
}

/** What R4 demands of the types we serve (elements with a minimum of 1), and what this server demands beside it. */
function checkResource(resource: ClinicResource, type: string, behaviour: ClinicBehaviour): void {
  if (resource.resourceType !== type)
    throw new ClinicRefusal(400, 'invariant', 'The resource is of another type')
  const missing = (REQUIRED[type] ?? []).find((name) => resource[name] === undefined)
  if (missing !== undefined) throw new ClinicRefusal(422, 'required', `${type}.${missing} is required`, type)
  if (type !== 'Observation') return
  const { profileRequired, codeRefused } = behaviour
  const profiles = items(isObject(resource.meta) ? resource.meta.profile : undefined)
  if (profileRequired !== undefined && !profiles.includes(profileRequired)) {
    throw new ClinicRefusal(422, 'business-rule', 'No listed profile is claimed', 'Observation.meta.profile')
  }
  if (codeRefused !== undefined && codesOf(resource).some(({ value }) => value === codeRefused)) {
    throw new ClinicRefusal(422, 'business-rule', 'The profile of this code is not met', 'Observation.code')
  }
}

const REQUIRED: Readonly<Record<string, readonly string[]>> = {
  Observation: ['status', 'code'],
  Provenance: ['target', 'recorded', 'agent'],
}
