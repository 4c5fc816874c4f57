/** The socket that publishes what cells show. */
export interface Outlet {
  /** Sends the frames of one message. */
  send(frames: unknown): Promise<void>;
  /** Sends without waiting for earlier messages, while a cell keeps the thread busy. */
  sendNow?(frames: unknown): void;
  /** Ends the socket. */
  close(): void;
}
type Publisher = Outlet & { sendHighWaterMark: number };

/** The part of tslab's server that opens its sockets. */
export interface PublishingServer {
  /** The socket that publishes. */
  iopub: Outlet;
  /** Opens a socket at its port. */
  bindSocket(socket: Outlet, port: number): Promise<void>;
}

/**
 * tslab sends without waiting. Its socket takes some five hundred messages that way within one turn
 * of the event loop and refuses the rest, and its publisher drops what exceeds its limit of a
 * thousand: a cell that prints much would lose lines silently. Here messages wait for their turn.
 */
export function keepEveryMessage(server: PublishingServer): void {
  const bind = server.bindSocket.bind(server);
  server.bindSocket = (socket, port) => {
    if (socket === server.iopub) server.iopub = inTurn(socket as Publisher);
    return bind(socket, port);
  };
}

function inTurn(publisher: Publisher): Outlet {
  publisher.sendHighWaterMark = 0;
  let turn: Promise<void> = Promise.resolve();
  return {
    send(frames) {
      turn = turn.then(() => publisher.send(frames)).catch(() => {}); // closed: nobody listens
      return turn;
    },
    sendNow(frames) {
      publisher.send(frames).catch(() => {}); // the socket is busy: the next one will do
    },
    close: () => publisher.close(),
  };
}

const answerers = new WeakMap<object, Outlet>();

/**
 * The socket that answers requests, for answers that meet: tslab sends them without waiting, and the
 * socket refuses one while it still sends another. The refused answer was lost, and the refusal was
 * taken for a fault of the next cell. An answer that nothing precedes goes at once.
 */
export function answersInTurn(socket: Outlet): Outlet {
  const known = answerers.get(socket);
  if (known) return known;
  let turn: Promise<void> = Promise.resolve();
  let waiting = 0;
  const attempt = async (frames: unknown) => await socket.send(frames);
  const outlet: Outlet = {
    send(frames) {
      const sending = waiting++ === 0 ? attempt(frames) : turn.then(() => attempt(frames));
      turn = sending
        .catch(() => {}) // closed: nobody listens
        .then(() => {
          waiting--;
        });
      return turn;
    },
    close: () => socket.close(),
  };
  answerers.set(socket, outlet);
  return outlet;
}
