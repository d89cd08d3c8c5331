import { standsAlone } from '../constant.ts'
import type { MetExtension, MetReference } from '../layer.ts'
import type { Met } from './met.ts'
import type { Path } from './path.ts'

/** How far a walk is. */
export interface Standing {
  readonly issues: number
  /** Elements and items so far. */
  readonly seen: number
  /** Elements it stands in. */
  readonly depth: number
  /** Steps from the resource. */
  readonly steps: number
  readonly inner: number
  readonly extensions: number
  readonly references: number
}

export function standing(
  { inner, extensions, references }: Met,
  issues: number,
  seen: number,
  depth: number,
  steps: number,
): Standing {
  const met = { inner: inner.length, extensions: extensions.length, references: references.length }
  return { issues, seen, depth, steps, ...met }
}

/** A constant that was found right in one element, and what a walk through it meets. */
export interface RightHere {
  readonly value: unknown
  /** Elements and items in it. */
  readonly seen: number
  /** Elements it stood in; deeper, it could reach beyond the limit. */
  readonly depth: number
  /** With their steps from the element. */
  readonly extensions: readonly MetExtension[]
  readonly references: readonly MetReference[]
}

/** The last two constants that were found right in one element: what all resources of a delivery share, or every other. */
export class LastRight {
  #last: RightHere | undefined
  #before: RightHere | undefined

  of(value: unknown): RightHere | undefined {
    if (this.#last?.value === value) return this.#last
    return this.#before?.value === value ? this.#before : undefined
  }

  /** Keeps what a walk has just been through, when it was found right and stays so wherever the element stands. */
  keep(value: unknown, met: Met, before: Standing, now: Standing): void {
    if (now.issues > before.issues || now.inner > before.inner || !standsAlone(value)) return
    const extensions = met.extensions
      .slice(before.extensions)
      .map((one) => ({ ...one, steps: one.steps.slice(before.steps) }))
    const references = met.references.slice(before.references)
    this.#before = this.#last
    this.#last = { value, seen: now.seen - before.seen, depth: before.depth, extensions, references }
  }
}

/** Meets it all again, where the walk stands now. */
export function meetAgain({ extensions, references }: RightHere, met: Met, path: Path): void {
  for (let i = 0; i < references.length; i++) met.references.push(references[i] as MetReference)
  for (let i = 0; i < extensions.length; i++) {
    const { value, isModifier, steps } = extensions[i] as MetExtension
    met.extensions.push({ value, isModifier, steps: path.taken().concat(steps) })
  }
}
