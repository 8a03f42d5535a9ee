import { frames } from "../base/frame";

/** Calls back at every frame that a video puts on the screen, until the answer is called. */
export function follow(video: HTMLVideoElement, shown: (v: HTMLVideoElement) => void): () => void {
  let goes = true;
  if (!("requestVideoFrameCallback" in video)) {
    frames.each(() => (shown(video), goes));
    return () => (goes = false);
  }
  const next = (): void => {
    if (!goes) return;
    shown(video);
    video.requestVideoFrameCallback(next);
  };
  video.requestVideoFrameCallback(next);
  return () => (goes = false);
}

/** How large a picture of a size is inside of a frame that shows all of it. */
export function contained(width: number, height: number, frameWidth: number, frameHeight: number): { readonly w: number; readonly h: number } {
  const scale = Math.min(frameWidth / width, frameHeight / height);
  return { w: width * scale, h: height * scale };
}
