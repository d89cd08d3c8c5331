import { jsonTree } from '../json-tree.ts'
import type { FuzzFormat } from './fuzz-format.ts'
import { countReadings, type MadeReading, madeSittings } from './made-sittings.ts'

export const OPEN_MHEALTH: FuzzFormat = {
  name: 'Open mHealth',
  mapping: 'open-mhealth',
  valid(random) {
    const sittings = madeSittings(random)
    const records = sittings.flatMap(({ subject, readings }) =>
      readings.flatMap((reading) =>
        random.happens(0.5)
          ? [bloodPressure(subject, reading), heartRate(subject, reading)]
          : [bloodPressure(subject, reading)],
      ),
    )
    return { records: records.map(jsonTree), readings: countReadings(sittings) }
  },
}

/** One reading as an Open mHealth data point. */
export function bloodPressure(subject: string, { id, time, systolic, diastolic }: MadeReading): object {
  return {
    header: header(id, 'blood-pressure', '4.0', subject, time),
    body: {
      systolic_blood_pressure: { value: systolic, unit: 'mmHg' },
      diastolic_blood_pressure: { value: diastolic, unit: 'mmHg' },
      effective_time_frame: { date_time: `${time}Z` },
      body_posture: 'sitting',
      measurement_location: 'left upper arm',
    },
  }
}

function heartRate(subject: string, { id, time, pulse }: MadeReading): object {
  return {
    header: header(`${id}-p`, 'heart-rate', '2.0', subject, time),
    body: {
      heart_rate: { value: pulse, unit: 'beats/min' },
      effective_time_frame: { date_time: `${time}Z` },
    },
  }
}

function header(id: string, name: string, version: string, subject: string, time: string): object {
  return {
    id,
    creation_date_time: `${time}Z`,
    schema_id: { namespace: 'omh', name, version },
    acquisition_provenance: { source_name: 'harbour-app', modality: 'sensed' },
    user_id: subject,
  }
}
