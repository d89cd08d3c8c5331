import { canaryText } from '../canaries.ts'
import type { Chooser } from '../chooser.ts'
import type { FuzzFormat } from './fuzz-format.ts'
import { countReadings, type MadeSitting, madeSittings } from './made-sittings.ts'

export const HL7V2_RESULTS: FuzzFormat = {
  name: 'HL7 v2 ORU',
  mapping: 'hl7v2-oru',
  valid(random) {
    const sittings = madeSittings(random)
    return {
      cells: resultSegments(sittings, random).map((segment) => segment.split('|')),
      write: (cells) => cells.map((fields) => `${fields.join('|')}\r`).join(''),
      shape: 'document',
      readings: countReadings(sittings),
    }
  },
}

/** One message about one person, with an OBR for each sitting. */
export function resultSegments(sittings: readonly MadeSitting[], random: Chooser): readonly string[] {
  const number = random.whole(1, 999_999)
  return [
    `MSH|^~\\&|HARBOUR|APP|BPGW|HOMEBP|20260601070000+0000||ORU^R01^ORU_R01|${number}|P|2.5.1|||AL|NE||UNICODE UTF-8`,
    `PID|1||${sittings[0]?.subject ?? ''}^^^HARBOUR^PI||${canaryText(random)}^${canaryText(random)}`,
    ...sittings.flatMap((sitting, index) => order(sitting, index + 1, random)),
  ]
}

function order({ readings }: MadeSitting, number: number, random: Chooser): readonly string[] {
  const [first] = readings
  const time = timeText(first?.time ?? '')
  return [
    `OBR|${number}||${first?.id ?? ''}^HARBOUR|85354-9^${canaryText(random)}^LN|||${time}|||||||||||||||${time}|||F`,
    ...readings.flatMap((reading, index) => {
      const { systolic, diastolic, pulse } = reading
      const rest = `|||||F|||${timeText(reading.time)}`
      return [
        `OBX||NM|8480-6^Systolic^LN|${index + 1}|${systolic}|mm[Hg]^mm[Hg]^UCUM${rest}`,
        `OBX||NM|8462-4^Diastolic^LN|${index + 1}|${diastolic}|mm[Hg]^mm[Hg]^UCUM${rest}`,
        `OBX||NM|8867-4^Heart rate^LN|${index + 1}|${pulse}|/min^/min^UCUM${rest}`,
      ]
    }),
    ...(random.happens(0.5) ? ['OBX||CE|8361-8^Body position^LN||LA11868-9^Sitting^LN||||||F'] : []),
    ...(random.happens(0.3) ? [`NTE|1||${canaryText(random)}`] : []),
  ]
}

/** `2026-01-05T06:41:10` as HL7 v2 writes it, in UTC. */
function timeText(time: string): string {
  return `${time.replaceAll(/[-T:]/g, '')}+0000`
}
