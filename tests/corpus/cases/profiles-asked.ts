import { type CorpusCase, changes, information, profile, under, whole } from '../corpus-case.ts'
import { average } from '../examples/averages.ts'
import { concept, R4_PROFILE, US_CORE_PROFILE } from '../examples/coded.ts'
import { bloodPressure, glucose, heartRate } from '../examples/readings.ts'

const O = 'Observation'
const BP = `${R4_PROFILE}bp`
const US_BP = `${US_CORE_PROFILE}us-core-blood-pressure`
const ASKED = 'R4 Resource-validate: the profile asked for'

const otherCode = () => ({ ...glucose(), code: concept('https://a.example', 'pressure') })

export const profilesAskedCases: readonly CorpusCase[] = [
  ...under({ asked: ['https://a.example/StructureDefinition/unknown'] }, [
    whole(
      'blood pressure asked to be what is not known',
      'R4 Resource-validate: an unknown profile is an error',
      bloodPressure(),
      profile('profile', O),
    ),
  ]),
  ...under({ mustSupport: true }, [
    whole(
      'blood pressure with must-support reported',
      'R4 conformance-rules.html, mustSupport',
      bloodPressure(),
    ),
  ]),
  ...under({ asked: [BP] }, [
    whole('blood pressure asked to be bp', ASKED, bloodPressure()),
    whole(
      'heart rate asked to be bp',
      ASKED,
      heartRate(),
      profile('bp', `${O}.code.coding`),
      profile('bp', `${O}.component`),
      profile('bp', `${O}.value`),
    ),
  ]),
  ...under({ asked: [`${BP}|4.0.1`] }, [
    whole('blood pressure asked to be bp of 4.0.1', ASKED, bloodPressure()),
  ]),
  ...under({ asked: [`${R4_PROFILE}vitalsigns`] }, [
    whole('heart rate asked to be a vital sign', ASKED, heartRate()),
    whole('glucose asked to be a vital sign', ASKED, glucose(), profile('vitalsigns', `${O}.category`)),
  ]),
  ...under({ asked: [`${R4_PROFILE}heartrate`] }, [
    whole('heart rate asked to be heartrate', ASKED, heartRate()),
    whole(
      'blood pressure asked to be heartrate',
      ASKED,
      bloodPressure(),
      profile('heartrate', `${O}.code.coding`),
    ),
  ]),
  ...under({ asked: [US_BP] }, [
    whole('blood pressure asked to be US Core blood pressure', 'US Core 9.0.0 blood pressure', {
      ...bloodPressure(),
      performer: [{ reference: 'Patient/ada' }],
    }),
  ]),
  ...under({ asked: [US_BP] }, [
    whole(
      'heart rate asked to be US Core blood pressure',
      'US Core 9.0.0 blood pressure: code and slices',
      heartRate(),
      profile('us-core-blood-pressure', `${O}.code`),
      profile('us-core-blood-pressure', `${O}.component`),
    ),
  ]),
  ...under({ asked: [`${US_CORE_PROFILE}us-core-average-blood-pressure`] }, [
    whole('average asked to be the US Core average', 'US Core 9.0.0 average blood pressure', average()),
  ]),
  ...changes('claiming bp', () => ({ ...otherCode(), meta: { profile: [BP] } }), [
    [
      'another code',
      'R4 Resource.meta.profile: the claim is checked',
      'id',
      'claiming',
      profile('bp', `${O}.code.coding`),
      profile('bp', `${O}.component`),
      profile('bp', `${O}.value`),
      profile('vitalsigns', `${O}.category`),
    ],
  ]),
  ...changes('glucose', glucose, [
    [
      'a claim of a profile that is not known',
      'R4 Resource.meta.profile: an unknown profile is named, not an error',
      'meta',
      { profile: ['https://a.example/StructureDefinition/unknown'] },
      information(profile('profile', `${O}.meta.profile[0]`)),
    ],
  ]),
]
