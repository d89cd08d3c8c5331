import type { Agent } from 'node:http'
import type { Duplex } from 'node:stream'

/**
 * Has an agent close each kept connection on which something arrives while no request is under way: left there, it would
 * be read as the answer to the next one.
 * Source: RFC 9112 section 9.2.
 */
export function closeOnUnaskedData(agent: Agent): void {
  const keep = agent.keepSocketAlive.bind(agent)
  const reuse = agent.reuseSocket.bind(agent)
  agent.keepSocketAlive = (socket) => {
    socket.on('data', close)
    return keep(socket)
  }
  agent.reuseSocket = (socket, request) => {
    socket.off('data', close)
    reuse(socket, request)
  }
}

function close(this: Duplex): void {
  this.destroy()
}
