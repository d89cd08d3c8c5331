import type { ToldDestination } from '../../../flow/operate/told-destination.ts'
import { bad, prose, quiet, strong, warn } from '../terminal.ts'

/** Destinations: how they are served, what is on its way, and what stands in the way. */
export function destinationLines(destinations: readonly ToldDestination[], width: number): readonly string[] {
  return destinations.flatMap((one) => [
    `${strong(one.name)} (${one.kind ?? bad('not in the settings')})${one.resting ? warn(' resting') : ''}`,
    ...(one.stopped === undefined
      ? []
      : [
          prose(
            `${bad('stopped')} since ${one.stopped.since}: ${one.stopped.code}. ${one.stopped.meaning} ${one.stopped.remedy}`,
            width,
          ),
        ]),
    ...(one.route === undefined
      ? []
      : [
          `served   ${one.route.rung ?? bad('in no way')}${one.route.learnt === undefined ? quiet(one.problem === undefined ? ', not asked yet' : ', no answer yet') : `, asked ${one.route.learnt}`}`,
          ...one.route.because.map((sentence) => prose(quiet(`         ${sentence}`), width)),
        ]),
    ...(one.problem === undefined || one.stopped !== undefined
      ? []
      : [
          prose(
            `${warn('problem')}  ${one.problem.code}. ${one.problem.meaning} ${one.problem.remedy}`,
            width,
          ),
        ]),
    `entries  ${Object.entries(one.entries)
      .map(([state, count]) => `${count} ${state}`)
      .join(', ')}`,
    ...aheadLines(one, width),
    ...(one.oldest === undefined
      ? []
      : [`oldest   queued ${one.oldest.queued}, ${ageText(one.oldest.seconds)} ago`]),
  ])
}

/** What goes on by itself, and when; and what waits for a person, by why, with what that person can do. */
function aheadLines({ behind, next, stuck }: ToldDestination, width: number): readonly string[] {
  return [
    ...(behind === undefined
      ? []
      : [`behind   ${behind} of those that wait are behind another of their patient`]),
    ...(next === undefined ? [] : [`next     at ${next} at the earliest, by itself`]),
    ...stuck.map(({ state, entries, code, meaning, remedy }) => {
      const colour = state === 'parked' ? warn : bad
      const see = `deliveries list --state ${state} --problem ${code}`
      const word = colour(state.padEnd(8))
      return prose(`${word} ${entries} with ${code}. ${meaning} ${remedy} See them with: ${see}`, width)
    }),
  ]
}

/** An age in the largest unit that fits, and the next: `3 d 4 h`, `12 min 5 s`. */
export function ageText(seconds: number): string {
  const parts = [
    [Math.floor(seconds / 86_400), 'd'],
    [Math.floor(seconds / 3_600) % 24, 'h'],
    [Math.floor(seconds / 60) % 60, 'min'],
    [seconds % 60, 's'],
  ] as const
  const first = parts.findIndex(([count]) => count > 0)
  if (first === -1) return '0 s'
  return parts
    .slice(first, first + 2)
    .map(([count, unit]) => `${count} ${unit}`)
    .join(' ')
}
