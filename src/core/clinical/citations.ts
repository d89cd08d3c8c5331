/**
 * The published sources that findings, protocols and threshold sets rest on.
 *
 * `evidence` says how far each was read: `read` in the source itself, `reported` by another publication that states
 * it, `memory` of the published source and not re-read, `derived` from other values here, `common-practice` for a
 * rule of thumb without a source. A value from memory is never a default without saying so.
 */
export interface Citation {
  readonly text: string
  readonly evidence: Evidence
}

export type Evidence = 'read' | 'reported' | 'memory' | 'derived' | 'common-practice'

export const CITATIONS = {
  'kallioinen-2017': {
    text: 'Kallioinen N et al. Sources of inaccuracy in the measurement of adult patients’ resting blood pressure in clinical settings: a systematic review. J Hypertens 2017. doi:10.1097/HJH.0000000000001197, effect table',
    evidence: 'reported',
  },
  'kallioinen-2017-memory': {
    text: 'Kallioinen N et al. J Hypertens 2017. doi:10.1097/HJH.0000000000001197, the effect of talking; from memory, not re-read',
    evidence: 'memory',
  },
  'handler-2009': {
    text: 'Handler J. Perm J 2009. doi:10.7812/TPP/09-054, as quoted by others',
    evidence: 'reported',
  },
  'pmid-8069403': {
    text: 'Arm and body position and the blood pressure of seated and supine people. PMID 8069403, abstract',
    evidence: 'read',
  },
  'arms-2024': {
    text: 'Arm position and blood pressure readings: the ARMS crossover randomized clinical trial. 2024. PMID 39373998',
    evidence: 'read',
  },
  'hydrostatic-column': {
    text: 'Hydrostatics: pressure = density x g x height; blood 1.050 to 1.060 g/cm3, g 9.80665 m/s2, 1 mmHg 133.322 Pa gives 0.772 to 0.780 mmHg per cm',
    evidence: 'derived',
  },
  'pinar-2010': {
    text: 'Pinar R et al. The effect of crossed leg on blood pressure. J Clin Nurs 2010. doi:10.1111/j.1365-2702.2009.03148.x',
    evidence: 'read',
  },
  'cuff-size-rct-2023': {
    text: 'Cuff size and automated blood pressure: randomized crossover trial. JAMA Intern Med 2023',
    evidence: 'reported',
  },
  'acc-aha-2017': {
    text: 'ACC/AHA guideline for high blood pressure in adults, 2017. doi:10.1161/HYP.0000000000000065, home measurement table',
    evidence: 'read',
  },
  'nice-ng136': {
    text: 'NICE guideline NG136, Hypertension in adults, 2019, amended 2022 and 2023, recommendations 1.2.7, 1.2.8 and 1.4.22',
    evidence: 'read',
  },
  'nice-ng136-technique': {
    text: 'NICE guideline NG136, Hypertension in adults, 2019, amended 2022 and 2023, recommendations 1.1.4 and 1.1.6',
    evidence: 'read',
  },
  'nice-ng136-severe': {
    text: 'NICE guideline NG136, Hypertension in adults, 2019, amended 2022 and 2023: a clinic blood pressure of 180/120 mmHg or more, with and without life-threatening symptoms',
    evidence: 'read',
  },
  'aha-severe': {
    text: 'American Heart Association, page for patients on blood pressure of 180/120 mmHg or more, current text: wait 1 to 2 minutes and measure again',
    evidence: 'read',
  },
  'aha-severe-older': {
    text: 'American Heart Association, the same advice in older wording, wait 5 minutes, as health departments reprint it',
    evidence: 'reported',
  },
  'low-pressure-memory': {
    text: 'Below 90/60 mmHg, the usual lay definition of low blood pressure; from memory, not re-read; no guideline limit for home readings was found',
    evidence: 'memory',
  },
  'aha-cuff-table': {
    text: 'AHA cuff table (Pickering 2005; Muntner 2019, doi:10.1161/HYP.0000000000000087), as on the page of the AHA and AMA measurement programme',
    evidence: 'read',
  },
  'hypertension-canada-2020': {
    text: 'Hypertension Canada guidelines 2020, measurement technique',
    evidence: 'reported',
  },
  'cuff-placement-memory': {
    text: 'AHA and ESH cuff placement advice, two to three cm above the elbow crease and one to two fingers under the cuff; from memory, not re-read',
    evidence: 'memory',
  },
  'plausibility-layers': {
    text: 'Local choice, layered from published observations: NHANES 2001-02 and 2009-12 ranges, intra-arterial maxima (MacDougall 1985, doi:10.1152/jappl.1985.58.3.785), and the edits of ambulatory registries, which are from memory, not re-read',
    evidence: 'derived',
  },
  'nhanes-zero': {
    text: 'NHANES 2001-02, code book of the blood pressure file: observed diastolic 0 to 134 mmHg, a zero being kept where sounds were heard to zero',
    evidence: 'read',
  },
  'whole-mmhg': {
    text: 'Common practice: monitors show whole mmHg; no published source',
    evidence: 'common-practice',
  },
  'clock-tolerance': {
    text: 'Local choice: how far the clocks of a monitor and a phone may drift, and how long a sitting may last; no published source',
    evidence: 'common-practice',
  },
  'acc-aha-2017-correspondence': {
    text: 'ACC/AHA guideline for high blood pressure in adults, 2017, doi:10.1161/HYP.0000000000000065, corresponding values of clinic, home, daytime, night-time and 24-hour measurements; the same in table 7 of the AHA/ACC guideline of 2025',
    evidence: 'read',
  },
  'aha-acc-2025-table-9': {
    text: 'AHA/ACC guideline for high blood pressure in adults, 2025, table 9: blood pressure patterns by office and out-of-office measurement, without and with treatment',
    evidence: 'read',
  },
  'nice-ng136-terms': {
    text: 'NICE guideline NG136, Hypertension in adults, 2019, amended 2022 and 2023: masked hypertension and white-coat effect, with clinic 140/90 and home 135/85',
    evidence: 'read',
  },
  'esh-office-and-home': {
    text: 'European Society of Hypertension practice: office 140/90, home 135/85, 24 hours 130/80, as stated by other publications',
    evidence: 'reported',
  },
  'hope-asia-2019-dipping': {
    text: 'HOPE Asia Network 2019, PMC8030405, table A5: night over day systolic above 1.0 riser, 0.9 to 1.0 non-dipper, 0.8 to 0.9 dipper, below 0.8 extreme dipper; which class a value on an edge belongs to is left open',
    evidence: 'read',
  },
  'dipping-edges-memory': {
    text: 'Common definition of dipping: from 20 % extreme dipper, from 10 % dipper, from 0 % non-dipper, below 0 % riser; from memory, not re-read',
    evidence: 'memory',
  },
  'dipping-reproducibility': {
    text: 'Reproducibility of ambulatory blood pressure, PMC7575032: 32 % of people changed their dipping class when measured again',
    evidence: 'read',
  },
  'fhir-r4-bp': {
    text: 'FHIR R4 4.0.1, profile bp: a blood pressure has a systolic and a diastolic component, each with a value or the reason it is absent',
    evidence: 'read',
  },
  'iso-11073-10407': {
    text: 'ISO/IEEE 11073-10407 blood pressure monitor, measurement status bits as in the HL7 Personal Health Device guide 2.0.0',
    evidence: 'read',
  },
  'local-practice': {
    text: 'Local practice of this deployment, by its settings',
    evidence: 'common-practice',
  },
  'mena-2005': {
    text: 'Mena L et al. A reliable index for the prognostic significance of blood pressure variability. J Hypertens 2005; the formula of average real variability is from memory, not re-read',
    evidence: 'memory',
  },
  'juhanoja-2017': {
    text: 'Juhanoja EP et al. 2017, day-to-day variability of home blood pressure in 6,238 people. PMID 28193705: coefficient of variation of the first morning reading on 3 to 7 days, above 11.0 % systolic and 12.8 % diastolic',
    evidence: 'read',
  },
  'bland-altman-1999': {
    text: 'Bland JM, Altman DG. Measuring agreement in method comparison studies. Stat Methods Med Res 1999;8:135. doi:10.1191/096228099673819272',
    evidence: 'reported',
  },
  'sen-1968': {
    text: 'Sen PK. Estimates of the regression coefficient based on Kendall’s tau. J Am Stat Assoc 1968;63:1379; from memory, not re-read',
    evidence: 'memory',
  },
  'end-digits-primary-care': {
    text: 'End digits of blood pressure in English primary care. PMID 15037875: a zero in 64 % of systolic and 59 % of diastolic entries, where 10 % are expected',
    evidence: 'read',
  },
  'end-digits-nurses': {
    text: 'End digits of blood pressure as nurses record it. PMID 16733227: a zero in 31 %, where 20 % are expected on a scale of even numbers',
    evidence: 'read',
  },
  'parker-2018': {
    text: 'Parker RA et al. Are self-reported telemonitored blood pressure readings affected by end-digit preference: a prospective cohort study in Scotland. BMJ Open 2018;8:e019431. doi:10.1136/bmjopen-2017-019431, abstract: 44,150 readings typed by patients and 20,705 transferred ones',
    evidence: 'read',
  },
  'nice-ng136-arms': {
    text: 'NICE guideline NG136, Hypertension in adults, 2019, recommendation 1.2.1: more than 15 mmHg between arms is measured again, and the arm with the higher reading followed',
    evidence: 'read',
  },
  'nice-cg127-arms': {
    text: 'NICE guideline CG127, Hypertension in adults, 2011: more than 20 mmHg between arms is measured again; as reported in PMC8030062, table 2',
    evidence: 'reported',
  },
  'esc-esh-2018-arms': {
    text: 'ESC/ESH guideline for arterial hypertension, 2018, doi:10.1093/eurheartj/ehy339: more than 15 mmHg between arms; as reported in PMC8030062, table 2',
    evidence: 'reported',
  },
  'esc-2024-arms-memory': {
    text: 'ESC guideline for elevated blood pressure and hypertension, 2024, doi:10.1093/eurheartj/ehae178: more than 10 mmHg between arms; from memory, not re-read',
    evidence: 'memory',
  },
  'ish-2020-arms-memory': {
    text: 'ISH global hypertension practice guideline, 2020, doi:10.1161/HYPERTENSIONAHA.120.15026: more than 10 mmHg between arms when it persists, more than 20 to be looked into; from memory, not re-read',
    evidence: 'memory',
  },
  'hypertension-canada-arms': {
    text: 'Hypertension Canada guidelines: more than 10 mmHg systolic between arms; as reported in PMC8030062, table 2',
    evidence: 'reported',
  },
  'acc-aha-2017-arms': {
    text: 'ACC/AHA guideline for high blood pressure in adults, 2017: a significant difference between arms, restated as more than 10 mmHg by the Korean Society of Hypertension, 2018, doi:10.1186/s40885-019-0124-x',
    evidence: 'reported',
  },
  'common-practice': {
    text: 'Common practice; no published source',
    evidence: 'common-practice',
  },
} as const satisfies Record<string, Citation>

export type CitationId = keyof typeof CITATIONS
