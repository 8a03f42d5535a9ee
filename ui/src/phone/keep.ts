import type { DayState, Event } from "./types";

/**
 * What the phone itself keeps. Each event has a place of its own, written before
 * anything else happens, so that a tap survives whatever comes after it.
 */
export class Keep {
  constructor(
    readonly place: Storage,
    readonly film: string,
  ) {}

  #key(name: string): string {
    return `takeweave ${this.film} ${name}`;
  }

  events(): Event[] {
    const all: Event[] = [];
    for (let i = 0; i < this.place.length; i++) {
      const key = this.place.key(i);
      if (key?.startsWith(this.#key("event "))) all.push(JSON.parse(this.place.getItem(key) ?? "null") as Event);
    }
    return all;
  }

  add(e: Event): void {
    this.place.setItem(this.#key(`event ${e.id}`), JSON.stringify(e));
  }

  /** The last answer of the program, without the events. */
  get answer(): DayState | undefined {
    const text = this.place.getItem(this.#key("answer"));
    return text === null ? undefined : (JSON.parse(text) as DayState);
  }

  set answer(a: DayState | undefined) {
    this.place.setItem(this.#key("answer"), JSON.stringify({ ...a, events: [] }));
  }

  /** A choice of the person: which hand, the call, the loop. */
  choice(name: string): string {
    return this.place.getItem(this.#key(name)) ?? "";
  }

  choose(name: string, value: string): void {
    this.place.setItem(this.#key(name), value);
  }
}

/** Photos that are not sent yet: they are large, and wait in a database. */
export class Photos {
  #opened: Promise<IDBDatabase> | undefined;

  #open(): Promise<IDBDatabase> {
    this.#opened ??= new Promise((done, failed) => {
      const asked = indexedDB.open("takeweave photos", 1);
      asked.onupgradeneeded = () => asked.result.createObjectStore("waiting");
      asked.onsuccess = () => done(asked.result);
      asked.onerror = () => failed(asked.error);
    });
    return this.#opened;
  }

  async #in<T>(mode: IDBTransactionMode, ask: (s: IDBObjectStore) => IDBRequest<T>): Promise<T> {
    const store = (await this.#open()).transaction("waiting", mode).objectStore("waiting");
    return new Promise((done, failed) => {
      const asked = ask(store);
      asked.onsuccess = () => done(asked.result);
      asked.onerror = () => failed(asked.error);
    });
  }

  async put(name: string, jpeg: string): Promise<void> {
    await this.#in("readwrite", (s) => s.put(jpeg, name));
  }

  async names(): Promise<string[]> {
    return (await this.#in("readonly", (s) => s.getAllKeys())).map(String);
  }

  async get(name: string): Promise<string> {
    return (await this.#in<string>("readonly", (s) => s.get(name) as IDBRequest<string>)) ?? "";
  }

  async drop(name: string): Promise<void> {
    await this.#in("readwrite", (s) => s.delete(name));
  }
}

const longSide = 1280;

/** A picture of the phone's camera, made smaller, as JPEG in base64. */
export async function shrink(file: Blob): Promise<string> {
  const picture = await createImageBitmap(file);
  const scale = Math.min(1, longSide / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(picture.width * scale);
  canvas.height = Math.round(picture.height * scale);
  canvas.getContext("2d")?.drawImage(picture, 0, 0, canvas.width, canvas.height);
  return canvas.toDataURL("image/jpeg", 0.7).split(",")[1] ?? "";
}
