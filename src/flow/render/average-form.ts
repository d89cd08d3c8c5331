import type { Recipient } from '../../core/registry/destination.ts'

/** The options of a destination that shape the bundle of an average, beside what is added to any bundle as it is sent. */
type ShapingOptions = Pick<Recipient, 'positionAs' | 'snomed' | 'decimals' | 'readings'>

/**
 * A short name for what a destination asks of an average’s bundle, kept with the average: where it is not what the
 * destination asks for by now, the average is written anew. `component-and-extension/loinc/1/carried`.
 */
export function averageForm({ positionAs, snomed, decimals, readings }: ShapingOptions): string {
  return [positionAs, snomed ? 'snomed' : 'loinc', decimals, readings === 'never' ? 'named' : 'carried'].join(
    '/',
  )
}

/** A destination as it was when it asked for a form. */
export function asInForm<Asking extends ShapingOptions>(destination: Asking, form: string): Asking {
  const [positionAs, codes, decimals, readings] = form.split('/')
  return {
    ...destination,
    positionAs: positionAs === 'extension' ? 'extension' : 'component-and-extension',
    snomed: codes === 'snomed',
    decimals: decimals === '0' ? 0 : 1,
    // Whether readings that travel with an average were sent before it shapes nothing.
    readings:
      readings === 'named'
        ? 'never'
        : destination.readings === 'never'
          ? 'with-average'
          : destination.readings,
  }
}
