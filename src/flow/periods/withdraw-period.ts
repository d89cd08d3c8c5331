import { instantOf } from '../../core/basics/instant.ts'
import { inputError } from '../../core/basics/issue.ts'
import { ok, type Result, refused } from '../../core/basics/result.ts'
import { withdrawnMeans } from '../../core/fhir/average/withdrawn-means.ts'
import type { IssuedAverage, Period } from '../../core/registry/period.ts'
import type { Ports } from '../ports/ports.ts'
import { sealedBundle } from '../render/sealed-bundle.ts'

export interface Withdrawn {
  readonly period: Period
  /** False when it had been withdrawn before. */
  readonly withdrawnNow: boolean
  /** Clinics that are now told that their average stands for nothing. */
  readonly queued: number
}

/**
 * Withdraws a period that was opened by mistake, open or closed. It is kept, marked; nothing opens it again, and one for
 * the same days may be opened beside it. Where averages of it were issued, each clinic that one was queued for is sent a
 * new revision that is `entered-in-error`, whether it has the one before by then or not. Again changes nothing.
 *
 * @throws OwnFault when what would be sent breaks a rule; the period stays as it is.
 */
export async function withdrawPeriod(
  id: string,
  actor: string,
  at: Pick<Ports, 'store' | 'clock' | 'catalogue'>,
): Promise<Result<Withdrawn>> {
  for (;;) {
    const period = await at.store.period(id)
    if (period === undefined) {
      return refused([inputError('not-found', 'NOT_FOUND', 'period', 'the id of a period', 'Check the id.')])
    }
    if (period.state === 'withdrawn') return ok({ period, withdrawnNow: false, queued: 0 })
    const nowMs = at.clock.now()
    const takenBack = await averagesBack(period, instantOf(nowMs).text, at)
    const revision = period.revision + takenBack.length
    const withdrawnNow = await at.store.withdrawPeriod(id, { after: period.revision, takenBack }, nowMs, {
      at: instantOf(nowMs).text,
      actor,
      action: 'period-withdrawn',
      about: id,
      outcome: 'done',
      detail: { protocol: period.protocol, revision },
    })
    // Else an average was issued meanwhile, which is to be taken back too.
    if (withdrawnNow)
      return ok({
        period: { ...period, state: 'withdrawn', revision },
        withdrawnNow,
        queued: takenBack.length,
      })
  }
}

/**
 * One for each clinic, made of the newest that was issued for it: it alone names the patient as that clinic does. The
 * clinic of the enrolment comes last, so that the newest there is is for it.
 */
async function averagesBack(
  { id, source, subject, revision }: Period,
  issued: string,
  { store, catalogue }: Pick<Ports, 'store' | 'catalogue'>,
): Promise<readonly IssuedAverage[]> {
  const [averages, [enrolment]] = await Promise.all([
    store.issuedAverages(id),
    store.enrolments(source, [subject]),
  ])
  const newest = new Map(averages.map((one) => [one.destination, one]))
  const here = newest.get(enrolment?.destination ?? '')
  const elsewhere = [...newest.values()].filter((one) => one !== here)
  return (here === undefined ? elsewhere : [...elsewhere, here]).map((own, place) => {
    const { canonicalBase } = catalogue
    const context = { canonicalBase, period: id, revision: revision + place + 1, issued }
    const bundle = sealedBundle(withdrawnMeans(JSON.parse(own.bundle), context), `period ${id}`)
    return { ...own, revision: context.revision, issued, bundle, takesBack: true }
  })
}
