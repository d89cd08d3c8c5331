import type { Label } from '../averaging/period-average.ts'
import type { Arm, Site } from '../session.ts'
import type { RoundedMean } from './rounded-mean.ts'

/** Both means of a pair as `135.4/87.5`. */
export function pairText({ systolicMmHg, diastolicMmHg }: RoundedMean, decimals: 0 | 1): string {
  return `${systolicMmHg.toFixed(decimals)}/${diastolicMmHg.toFixed(decimals)}`
}

/** With its sign, plus included; zero has none. */
export function signedText(value: number, decimals: 0 | 1): string {
  return `${value > 0 ? '+' : ''}${value.toFixed(decimals)}`
}

/** `1 reading`, `2 readings`. */
export function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`
}

/** `a`, `a and b`, `a, b and c`. */
export function listed(parts: readonly string[]): string {
  return parts.length < 2 ? parts.join('') : `${parts.slice(0, -1).join(', ')} and ${parts.at(-1)}`
}

/** Where readings were taken, `left upper arm`, and what of it their source did not state. */
export function limbText(arm: Arm | undefined, site: Site | undefined): string {
  const place = site?.replace('-', ' ')
  if (arm !== undefined) return place === undefined ? `${arm} arm, site not stated` : `${arm} ${place}`
  return place === undefined ? 'arm and site not stated' : `${place}, side not stated`
}

/** A label never without the system and edition it belongs to. */
export function labelText({ title, window, label }: Label): string {
  return `${title}${window === undefined ? '' : `, ${window}`}: ${label}`
}

export function capitalised(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1)
}
