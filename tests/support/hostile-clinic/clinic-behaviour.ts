/**
 * How the played clinic's server behaves, request for request, until it is told otherwise. What it does once only is a
 * fault; see `fault.ts`. `HONEST` is FHIR R4 4.0.1 to the letter: http.html, search.html, bundle.html.
 */
export interface ClinicBehaviour extends Abilities, Habits {
  /** What one type can do where it is another than the rest; `not-served`: the server does not know the type. */
  readonly ofType: Readonly<Record<string, Partial<TypeAbilities> | 'not-served'>>
  /** What the CapabilityStatement says in place of the truth. */
  readonly stated: Partial<StatedAbilities>
  /** The statement as a whole: as it should be, 404, a proxy's page, one of STU3, or one without any `rest`. */
  readonly statement: 'given' | 'missing' | 'page' | 'stu3' | 'without-rest'
}

export interface TypeAbilities {
  readonly create: boolean
  readonly read: boolean
  /** Reading a version, and the history of an instance. */
  readonly history: boolean
  readonly update: boolean
  /** A PUT to an id that is not there makes the resource. */
  readonly updateCreate: boolean
  readonly conditionalCreate: boolean
  readonly conditionalUpdate: boolean
  readonly search: 'get-and-post' | 'get' | 'post' | 'off'
}

export interface Abilities extends TypeAbilities {
  /** `as-batch`: it answers 200 and has done each entry by itself. */
  readonly transaction: 'atomic' | 'as-batch' | 'off'
  readonly batch: boolean
}

export interface StatedAbilities extends TypeAbilities {
  readonly transaction: boolean
  readonly batch: boolean
  readonly versioning: 'no-version' | 'versioned' | 'versioned-update'
  /** Types that are listed. */
  readonly types: readonly string[]
  /** Search parameters that are listed, for every type. */
  readonly searchParameters: readonly string[]
}

/** The ways in which servers differ, where R4 leaves it open or they stray. */
export interface Habits {
  /** Where a create tells what it made. `foreign`: a host of its own; `http`: the base as a proxy's inside sees it. */
  readonly location:
    | 'versioned'
    | 'unversioned'
    | 'relative'
    | 'http'
    | 'foreign'
    | 'content-location'
    | 'missing'
  readonly etag: boolean
  /** Whether a create or update answers with the resource when `Prefer` does not say; `never`: not even then. */
  readonly writtenBody: 'unless-minimal' | 'never'
  /** Bundle.entry.response.status: `201 Created`, `201`, or `Created`. */
  readonly entryStatus: 'digits-and-words' | 'digits' | 'words'
  /** How a failure is told: OperationOutcome, the same as application/problem+json, plain text, a page. */
  readonly failure: 'outcome' | 'problem-json' | 'text' | 'page'
  /**
   * Which forms of a condition it takes: R4's without a leading `?`, only one with it, only one with the type before it.
   */
  readonly condition: 'any' | 'plain' | 'marked' | 'typed'
  /** Conditions inside a transaction: held to, passed over, or refused with 400, whatever it does singly. */
  readonly conditionInTransaction: 'honoured' | 'ignored' | 'refused'
  /** A condition where they are not supported: the status it is refused with, or `ignored`, done as if there were none. */
  readonly unsupportedCondition: 400 | 412 | 501 | 'ignored'
  /** Whether a condition selects by its parameters, or passes over them, so that it matches all of its type, or any Device. */
  readonly conditionSelects: 'by-parameters' | 'anything' | 'any-device'
  /** Several matches of a condition: refused with 412, or the first one taken in silence. */
  readonly severalMatches: 'refused' | 'first-taken'
  /** One match of a conditional create: matched (200), or it fails on an index of its own with this status. */
  readonly oneMatch: 'matched' | 400 | 409 | 422 | 500
  /** Two conditional updates of one identity in a transaction: the whole fails, or one is dropped in silence. */
  readonly sameConditionTwice: 'refused' | 'one-dropped'
  /**
   * A conditional reference: resolved, refused with 400, kept as it is written, or resolved in name only, to the first of
   * the type, or by the value of the identifier alone.
   */
  readonly conditionalReference: 'resolved' | 'refused' | 'kept' | 'first-of-type' | 'by-value-alone'
  /** Whether a search is filtered, passes over the systems of what it asks for, or answers with everything of the type. */
  readonly searchFilter: 'honoured' | 'by-value-alone' | 'ignored'
  /** What was written can be found by searching only so many milliseconds later. */
  readonly searchLagMs: number
  /** The same for the searches that conditions make. */
  readonly conditionLagMs: number
  /** Milliseconds between the look of a conditional create and its insert, in which others come between; 0: none. */
  readonly raceMs: number
  readonly ifMatch: 'honoured' | 'ignored' | 'required'
  /** R4: 412; STU3: 409. */
  readonly staleStatus: 412 | 409
  readonly updateOfDeleted: 'gone' | 'revived'
  readonly pageSize: number
  /** Entries of a bundle, and octets of a body, above which it answers 413. */
  readonly mostEntries: number
  readonly mostOctets: number
  /** Whether a reference under this base, or to no entry of the transaction, must lead somewhere. */
  readonly danglingReference: 'refused' | 'kept'
  /** A profile every Observation must claim in `meta.profile`; a code that is refused. `undefined`: none. */
  readonly profileRequired: string | undefined
  readonly codeRefused: string | undefined
  /** Answers a request by its Authorization header: undefined lets it in. */
  readonly admits: (authorization: string | undefined) => 401 | 403 | undefined
}

export const HONEST: ClinicBehaviour = {
  create: true,
  read: true,
  history: true,
  update: true,
  updateCreate: true,
  conditionalCreate: true,
  conditionalUpdate: true,
  search: 'get-and-post',
  transaction: 'atomic',
  batch: true,
  ofType: {},
  stated: {},
  statement: 'given',
  location: 'versioned',
  etag: true,
  writtenBody: 'unless-minimal',
  entryStatus: 'digits-and-words',
  failure: 'outcome',
  condition: 'any',
  conditionInTransaction: 'honoured',
  unsupportedCondition: 400,
  conditionSelects: 'by-parameters',
  severalMatches: 'refused',
  oneMatch: 'matched',
  sameConditionTwice: 'refused',
  conditionalReference: 'resolved',
  searchFilter: 'honoured',
  searchLagMs: 0,
  conditionLagMs: 0,
  raceMs: 0,
  ifMatch: 'honoured',
  staleStatus: 412,
  updateOfDeleted: 'gone',
  pageSize: 50,
  mostEntries: Number.POSITIVE_INFINITY,
  mostOctets: Number.POSITIVE_INFINITY,
  danglingReference: 'refused',
  profileRequired: undefined,
  codeRefused: undefined,
  admits: () => undefined,
}

/** The types the server knows. */
export const SERVED_TYPES = ['Patient', 'Device', 'Observation', 'Provenance'] as const

/** What a type can do, or undefined when the server does not know it. */
export function abilitiesOf(behaviour: ClinicBehaviour, type: string): TypeAbilities | undefined {
  const exception = behaviour.ofType[type]
  const served = SERVED_TYPES.some((one) => one === type)
  return !served || exception === 'not-served' ? undefined : { ...behaviour, ...exception }
}
