import { visibleText } from '../../../core/basics/visible-text.ts'
import { counted } from '../../../core/clinical/report/narrative-words.ts'
import type { RemarkedLinks } from '../../../flow/person/linked-subjects.ts'
import type { ListedEnrolment, WaitingSubject } from '../../../flow/ports/ports.ts'
import { prose, quiet, strong, table, warn } from '../terminal.ts'

/** Enrolments, a row each. */
export function enrolmentTable(enrolments: readonly ListedEnrolment[]): string {
  const rows = enrolments.map(
    ({ source, subject, patient, zone, destination, armCircumferenceCm, alsoLinked = 0 }) => [
      `${visibleText(subject)}\n${quiet(source)}`,
      [
        visibleText(patient.value),
        quiet(visibleText(patient.system)),
        ...(alsoLinked === 0 ? [] : [`${counted(alsoLinked, 'other subject')} too`]),
      ].join('\n'),
      destination,
      zone,
      armCircumferenceCm === undefined ? '' : `${armCircumferenceCm} cm`,
    ],
  )
  return table(['subject', 'patient', 'destination', 'zone', 'arm'], rows, [22, 40, 18, 20, 9])
}

/** Who else is linked to the same patient, and what that means; nothing where nobody is. */
export function linkLines({ linked = [], remark }: RemarkedLinks, width: number): readonly string[] {
  if (remark === undefined) return []
  const others = linked.map(
    ({ source, subject }) => `${warn('linked')}  ${strong(visibleText(`${source} ${subject}`))}`,
  )
  return [...others, prose(remark, width)]
}

/** Subjects that sent sessions and are not enrolled, a row each. */
export function waitingTable(subjects: readonly WaitingSubject[]): string {
  const rows = subjects.map(({ subject, sessions, firstReceived, lastReceived }) => [
    visibleText(subject),
    String(sessions),
    firstReceived,
    lastReceived,
  ])
  return table(['subject', 'sessions', 'first received', 'last received'], rows, [26, 10, 26, 26])
}
