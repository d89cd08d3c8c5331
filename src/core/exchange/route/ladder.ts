import { RUNGS, type Rung } from '../../registry/rung.ts'
import type { SentType, TypeAbilities } from './abilities.ts'
import type { Route, SeenConditions } from './route.ts'

/** Which rung a destination is served on. */
export interface RungChoice {
  /** Absent when there is none that could work: the operator has to name one, or the server to be mended. */
  readonly rung?: Rung
  /**
   * Whether resources can be looked for by our identifier: after an outcome nobody heard, and before another rung is used.
   */
  readonly canLook: boolean
  /**
   * Why this one and none above it, one sentence for each rung that was passed over, and for the chosen. No health data.
   */
  readonly because: readonly string[]
}

/**
 * Chooses the highest rung that the server's statement, the probe and what turned out since allow; the operator's word
 * stands over all of them.
 *
 * | rung | needs for Observation | | --- | --- | | transaction | `transaction` stated, not probed as `not-atomic` or
 * `refused`, conditions not seen passed over, `conditionalCreate` | | conditional-create | `create` and `conditionalCreate`
 * | | own-id | `update` and `updateCreate` | | search-first | `create` and `search-type` with the parameter `identifier` |
 * | create-only | `create` |
 *
 * A server that gives no statement is trusted with nothing that rests on it: it is served `search-first`, where every
 * answer is checked against what was asked, and `create-only` once its search turned out to be no good.
 */
export function chooseRung(route: Route, operatorSays: Rung | undefined): RungChoice {
  if (operatorSays !== undefined) {
    return {
      rung: operatorSays,
      canLook: canLook(route, operatorSays, true),
      because: [`${operatorSays}: the operator named it.`, ...patientSearchedFor(operatorSays, route)],
    }
  }
  const because: string[] = []
  for (const rung of RUNGS) {
    const missing = whatIsMissing(rung, route)
    if (missing === undefined) {
      because.push(`${rung}: ${reasonFor(rung, route)}.`, ...patientSearchedFor(rung, route))
      return { rung, canLook: canLook(route, rung, false), because }
    }
    because.push(`${rung}: ${missing}.`)
  }
  return { canLook: false, because }
}

function patientSearchedFor(rung: Rung, { references }: Route): readonly string[] {
  if (rung !== 'transaction' || references?.seen !== 'passed-over') return []
  const { misplaced } = references
  const seen =
    misplaced === undefined
      ? 'finds somebody by an identifier that nobody has'
      : `did not put ${misplaced.at} into the record that a conditional reference asked for`
  return [`The patient is searched for first: the server ${seen} (CLINIC_MISPLACES_PATIENT).`]
}

/** Why a rung cannot be used; undefined when it can. */
function whatIsMissing(rung: Rung, route: Route): string | undefined {
  const { abilities, probed, ruledOut, conditions } = route
  if (rung === 'transaction' && conditions?.seen === 'passed-over') return passedOver(conditions)
  const out = ruledOut.find((one) => one.rung === rung)
  if (out !== undefined) return `turned out not to work (${out.problem})`
  if (abilities === undefined) {
    return rung === 'search-first' || rung === 'create-only'
      ? undefined
      : `${withoutStatement(route)} to rest it on`
  }
  if (rung === 'transaction') {
    if (!abilities.transaction) return 'the server states no transactions'
    if (probed === 'not-atomic') return 'the server does not fail a transaction as a whole'
    if (probed === 'refused') return 'the server refused a transaction that only reads'
  }
  const absent = NEEDS[rung]
    .filter(([, isThere]) => !isThere(abilities.types.Observation))
    .map(([name]) => name)
  return absent.length === 0 ? undefined : `the server does not state ${absent.join(' or ')} for Observation`
}

function passedOver({ double }: SeenConditions): string {
  const made =
    double === undefined
      ? 'made a resource beside one that was there, or took another for it'
      : `made ${double} beside one that was there`
  return `the server passes over conditions in a transaction, and ${made} (CLINIC_IGNORES_CONDITIONS)`
}

/**
 * Whether the statement denies that a type can be created on a rung. One that is not listed is denied only by a statement
 * that lists what we deliver: else it says nothing that could be believed.
 */
export function isDenied({ abilities }: Route, rung: Rung, type: SentType): boolean {
  if (abilities === undefined) return false
  const { listed, create, updateCreate, conditionalCreate } = abilities.types[type]
  if (!listed) return abilities.types.Observation.listed
  if (rung === 'own-id') return !updateCreate
  return !create || (rung === 'conditional-create' && !conditionalCreate)
}

type Need = readonly [name: string, isThere: (observation: TypeAbilities) => boolean]

const CREATE: Need = ['create', ({ create }) => create]
const CONDITIONAL_CREATE: Need = ['conditional create', ({ conditionalCreate }) => conditionalCreate]
const UPDATE: Need = ['update', ({ update }) => update]
const UPDATE_CREATE: Need = ['creation by update', ({ updateCreate }) => updateCreate]
const SEARCH: Need = ['search by identifier', canSearch]

const NEEDS: Readonly<Record<Rung, readonly Need[]>> = {
  transaction: [CONDITIONAL_CREATE],
  'conditional-create': [CREATE, CONDITIONAL_CREATE],
  'own-id': [UPDATE, UPDATE_CREATE],
  'search-first': [CREATE, SEARCH],
  'create-only': [CREATE],
}

function canSearch({ search, searchParameters }: TypeAbilities): boolean {
  return search && searchParameters.includes('identifier')
}

/** A server that answered without a statement is told from one that nobody asked yet, or that never answered. */
function withoutStatement({ learntMs }: Route): string {
  return learntMs === undefined
    ? 'there is no answer of the server yet'
    : 'the server gave no statement of R4'
}

function reasonFor(rung: Rung, route: Route): string {
  const { abilities } = route
  if (abilities === undefined) return `${withoutStatement(route)}, and nothing of it is taken on trust`
  const stated = NEEDS[rung].map(([name]) => name).join(' and ')
  return rung === 'transaction'
    ? `the server states transactions, and ${stated} for Observation`
    : `the server states ${stated} for Observation`
}

/**
 * Where a search turned out to be no good nothing can be looked for, and on the last rung nothing is: one that could be
 * asked would not be on it. An operator who names a rung that looks says that it can.
 */
function canLook({ abilities, ruledOut }: Route, rung: Rung, isNamed: boolean): boolean {
  if (rung === 'create-only') return false
  if (rung === 'search-first' && isNamed) return true
  if (ruledOut.some((one) => one.rung === 'search-first')) return false
  return abilities === undefined || canSearch(abilities.types.Observation)
}
