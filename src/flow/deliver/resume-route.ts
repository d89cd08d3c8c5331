import { instantOf } from '../../core/basics/instant.ts'
import type { Route } from '../../core/exchange/route.ts'
import type { Ports } from '../ports.ts'

/**
 * Sends to a stopped destination again. Its server is asked anew what it can do, for something was mended there. False
 * when it was not stopped; nothing changes then.
 */
export async function resumeRoute(destination: string, actor: string, at: Ports): Promise<boolean> {
  const route = await at.store.route(destination)
  if (route?.stopped === undefined) return false
  await resume(route, actor, at)
  return true
}

/**
 * Resumes every stopped route. For the start of the service: settings and keys may have been mended while it was down,
 * and what still does not work stops again at the first answer. Returns how many.
 */
export async function resumeRoutes(actor: string, at: Ports): Promise<number> {
  const stopped = (await at.store.routes()).filter((route) => route.stopped !== undefined)
  for (const route of stopped) await resume(route, actor, at)
  return stopped.length
}

async function resume(route: Route, actor: string, at: Ports): Promise<void> {
  const { stopped, learntMs: _, ...rest } = route
  await at.store.saveRoute(rest, {
    at: instantOf(at.clock.now()).text,
    actor,
    action: 'route-resumed',
    about: route.destination,
    outcome: 'done',
    detail: stopped === undefined ? {} : { problem: stopped.problem },
  })
}
