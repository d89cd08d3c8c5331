import type { ErrorCode } from '../../core/basics/error-codes.ts'
import { instantOf } from '../../core/basics/instant.ts'
import { type Route, unknownRoute } from '../../core/exchange/route/route.ts'
import type { Ports } from '../ports/ports.ts'

/** Whether a destination is still the server that was served before. */
export type MovedServer = 'same' | 'other'

/**
 * Sends to a stopped destination again. Its server is asked anew what it can do, for something was mended there; so is one
 * that was seen to pass over what a transaction asks for. False when it was neither; nothing changes then.
 *
 * One that was stopped because it moved is resumed only when `server` says what that means: of the same server all that
 * is known stands; of another one nothing does, and what the one before holds counts as held no more. A server may be
 * replaced, or set back, under the same address: of that only a person knows, so `other` is taken at its word at any time.
 */
export async function resumeRoute(
  destination: string,
  actor: string,
  at: Ports,
  server?: MovedServer,
): Promise<boolean> {
  const route = await at.store.route(destination)
  if (server === 'other') {
    await startAnew(route ?? unknownRoute(destination), actor, at)
    return true
  }
  if (route === undefined || (hasMoved(route) && server === undefined)) return false
  if (route.stopped === undefined && !passesOver(route)) return false
  await resume(route, actor, at)
  return true
}

/** Forgets the server that a route led to: its name stands for another one, of which nothing is known. */
export async function startAnew({ destination, stopped }: Route, actor: string, at: Ports): Promise<void> {
  await at.store.forgetHeld(destination)
  const anew = { ...unknownRoute(destination), ...(stopped === undefined ? {} : { stopped }) }
  await resume(anew, actor, at, 'other')
}

/** Whether a route is stopped because its destination has another address than before. */
export function hasMoved(route: Route | undefined): boolean {
  return route?.stopped?.problem === 'DESTINATION_MOVED'
}

/** Whether its server was seen to pass over conditions, or whom a reference asks for, and is served in another way. */
function passesOver({ conditions, references }: Route): boolean {
  return conditions?.seen === 'passed-over' || references?.seen === 'passed-over'
}

const FOR_A_PERSON: ReadonlySet<ErrorCode> = new Set(['DESTINATION_MOVED', 'STORE_COPIED'])

/**
 * Resumes every stopped route. For the start of the service: settings and keys may have been mended while it was down,
 * and what still does not work stops again at the first answer. What a move means, or what a clinic came to hold after a
 * copy was made, only a person can say. Returns how many.
 */
export async function resumeRoutes(actor: string, at: Ports): Promise<number> {
  const stopped = (await at.store.routes()).filter(
    ({ stopped }) => stopped && !FOR_A_PERSON.has(stopped.problem),
  )
  for (const route of stopped) await resume(route, actor, at)
  return stopped.length
}

async function resume(route: Route, actor: string, at: Ports, server?: MovedServer): Promise<void> {
  const { stopped, restored, learntMs: _, address: __, ...rest } = route
  const wasCopied = stopped?.problem === 'STORE_COPIED'
  // What is queued by now may be there since before the loss: it is left to the person who looked.
  if (wasCopied) await at.store.doubtOpen(route.destination)
  await at.store.saveRoute(wasCopied || restored === undefined ? rest : { ...rest, restored }, {
    at: instantOf(at.clock.now()).text,
    actor,
    action: 'route-resumed',
    about: route.destination,
    outcome: 'done',
    detail: {
      ...(stopped === undefined ? {} : { problem: stopped.problem }),
      ...(server === undefined ? {} : { server }),
    },
  })
}
