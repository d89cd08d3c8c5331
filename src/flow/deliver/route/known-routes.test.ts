import { describe, expect, it } from 'vitest'
import { unknownRoute } from '../../../core/exchange/route/route.ts'
import type { Ports } from '../../ports/ports.ts'
import { KnownRoutes } from './known-routes.ts'

/** A store of routes, and nothing else of the world. */
function ports() {
  const kept = new Map([['clinic', unknownRoute('clinic')]])
  let read: (() => Promise<void>) | undefined
  const at = {
    store: {
      routes: async () => {
        const routes = [...kept.values()]
        await read?.()
        return routes
      },
      saveRoute: async (route: ReturnType<typeof unknownRoute>) => {
        kept.set(route.destination, route)
      },
    },
    clock: { now: () => 1000 },
    log: { info: () => undefined, warn: () => undefined, error: () => undefined },
  }
  return {
    kept,
    // Nothing but these is asked of the ports here.
    at: at as unknown as Ports,
    whileRead: (happens: () => Promise<void>) => {
      read = happens
    },
  }
}

describe('KnownRoutes', () => {
  it('sees what an operator resumed while a round goes on', async () => {
    const { at, kept } = ports()
    const routes = await KnownRoutes.open(at)
    await routes.stop('clinic', 'CLINIC_FORBIDS')
    expect(routes.stopped()).toEqual(['clinic'])
    kept.set('clinic', unknownRoute('clinic'))
    await routes.refresh()
    expect(routes.stopped()).toEqual([])
  })

  it('does not let a reading undo what was changed meanwhile', async () => {
    const { at, whileRead } = ports()
    const routes = await KnownRoutes.open(at)
    whileRead(() => routes.stop('clinic', 'CLINIC_FORBIDS'))
    await routes.refresh()
    expect(routes.stopped()).toEqual(['clinic'])
  })

  it('stops a route once', async () => {
    const { at, kept } = ports()
    const routes = await KnownRoutes.open(at)
    await Promise.all([routes.stop('clinic', 'CLINIC_LOGIN'), routes.stop('clinic', 'CLINIC_FORBIDS')])
    expect(kept.get('clinic')?.stopped).toEqual({ problem: 'CLINIC_LOGIN', sinceMs: 1000 })
  })
})
