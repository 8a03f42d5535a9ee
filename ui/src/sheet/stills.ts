// The browser keeps few lines open to one program; stills take no more than these,
// so that sound, pictures and answers never wait behind them.
const most = 2;

/** Loads small pictures a few at a time, the last asked for first. */
class Stills {
  #waiting = new Map<HTMLImageElement, string>();
  #loading = new Set<HTMLImageElement>();

  show(img: HTMLImageElement, url: string): void {
    if (img.dataset["of"] === url) return;
    img.dataset["of"] = url;
    this.#loading.delete(img);
    this.#waiting.set(img, url);
    this.#next();
  }

  forget(img: HTMLImageElement): void {
    this.#waiting.delete(img);
    if (this.#loading.delete(img)) img.removeAttribute("src");
    this.#next();
  }

  #next(): void {
    while (this.#loading.size < most && this.#waiting.size > 0) {
      const [img, url] = [...this.#waiting].pop() ?? [];
      if (!img || !url) return;
      this.#waiting.delete(img);
      this.#loading.add(img);
      const done = (): void => {
        if (this.#loading.delete(img)) this.#next();
      };
      img.onload = done;
      img.onerror = done;
      img.src = url;
    }
  }
}

export const stills = new Stills();
