import type { ElementDefinition } from 'fhir/r4.js'
import { isFullyJudged } from '../../spoken-types.ts'
import type { PublishedDefinitions } from './published-definitions.ts'

/** One element with a binding that a resource can break: required or extensible. */
export interface Binding {
  /** The type the element is in, as the element table names it: `Observation_Component`. */
  readonly type: string
  readonly property: string
  /** The element's own types: `code`, `Coding`, `CodeableConcept`. */
  readonly of: readonly string[]
  readonly strength: string
  /** Canonical URL without version. */
  readonly valueSet: string
}

/** Every required and extensible binding of the types we speak and of the data types. */
export function publishedBindings({ structures }: PublishedDefinitions): readonly Binding[] {
  return structures
    .filter(({ name, kind, derivation }) => {
      return derivation !== 'constraint' && (kind === 'complex-type' || isFullyJudged(name))
    })
    .flatMap(({ snapshot }) => (snapshot?.element ?? []).flatMap(bindingOf))
}

function bindingOf({ path, type = [], binding }: ElementDefinition): readonly Binding[] {
  const valueSet = binding?.valueSet?.replace(/\|.*$/, '')
  if (valueSet === undefined || binding === undefined || !/required|extensible/.test(binding.strength))
    return []
  const steps = path.split('.')
  const property = steps.pop() ?? ''
  const backbone = steps.length > 1 ? `_${capitalised(steps.at(-1) ?? '')}` : ''
  return [
    {
      type: `${steps[0] ?? ''}${backbone}`,
      property,
      of: type.map(({ code }) => code),
      strength: binding.strength,
      valueSet,
    },
  ]
}

function capitalised(name: string): string {
  return name.charAt(0).toUpperCase() + name.slice(1)
}
