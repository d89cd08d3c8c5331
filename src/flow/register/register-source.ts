import { instantOf } from '../../core/basics/instant.ts'
import { inputError } from '../../core/basics/issue.ts'
import { ok, type Result, refused } from '../../core/basics/result.ts'
import { SOURCE_NAME, type Source } from '../../core/registry/source.ts'
import type { Ports, WaitingSubject } from '../ports/ports.ts'

/** Registers a home app or feed. Registering the same name again only renews its title. */
export async function registerSource(source: Source, actor: string, at: Ports): Promise<Result<Source>> {
  if (!SOURCE_NAME.test(source.name)) {
    return refused([BAD_NAME])
  }
  await at.store.saveSource(source, {
    at: instantOf(at.clock.now()).text,
    actor,
    action: 'source-registered',
    about: source.name,
    outcome: 'done',
    detail: {},
  })
  return ok(source)
}

/** A source as operators read it. */
export interface ToldSource extends Source {
  /** What it sent of subjects that are not enrolled, and that flows once they are. */
  readonly waiting: { readonly subjects: number; readonly sessions: number }
}

/** Undefined when there is no such source. Asks about every subject of it, a page at a time. */
export async function toldSource(name: string, at: Pick<Ports, 'store'>): Promise<ToldSource | undefined> {
  const source = (await at.store.sources()).find((one) => one.name === name)
  if (source === undefined) return undefined
  let subjects = 0
  let sessions = 0
  for (let after: string | undefined = ''; after !== undefined; ) {
    const page: readonly WaitingSubject[] = await at.store.waitingSubjects(name, { after, limit: PAGE })
    subjects += page.length
    for (const one of page) sessions += one.sessions
    after = page.length < PAGE ? undefined : page.at(-1)?.subject
  }
  return { ...source, waiting: { subjects, sessions } }
}

const PAGE = 1_000

const BAD_NAME = inputError(
  'value',
  'OUT_OF_RANGE',
  'name',
  'lower-case letters, digits and hyphens, at most 63, not starting with a hyphen',
  'Choose another name.',
)
