import { fragmentShader, vertexShader } from "./shader";

/** A look as one table, red running fastest. */
export interface Table {
  readonly points: number;
  readonly values: Float32Array;
}

export function tableOf(numbers: ArrayBuffer): Table {
  const values = new Float32Array(numbers);
  return { points: Math.round(Math.cbrt(values.length / 3)), values };
}

/** What is done to a picture beside its table. */
export interface Finish {
  /** The film's shape within the picture, in shares. */
  readonly shape: { readonly x: number; readonly y: number; readonly w: number; readonly h: number };
  readonly ratio: number;
  readonly edge: { readonly angle: number; readonly x: number; readonly y: number };
  readonly bars: { readonly left: number; readonly top: number };
  /** To the left of this share of the width the picture is as filmed. */
  readonly split: number;
  /** A factor on the finished picture. */
  readonly dim: number;
}

export const unfinished: Finish = {
  shape: { x: 0, y: 0, w: 1, h: 1 },
  ratio: 16 / 9,
  edge: { angle: 0, x: 0, y: 0 },
  bars: { left: 0, top: 0 },
  split: 0,
  dim: 1,
};

/** Paints pictures with a look on a canvas, by the graphics processor. */
export class Painter {
  readonly #gl: WebGL2RenderingContext;
  readonly #program: WebGLProgram;
  readonly #places = new Map<string, WebGLUniformLocation | null>();
  #table: Table | undefined;

  /** Undefined where the browser has no WebGL 2. */
  static on(canvas: HTMLCanvasElement): Painter | undefined {
    const gl = canvas.getContext("webgl2", { alpha: false, antialias: false, depth: false });
    const program = gl && link(gl);
    return program ? new Painter(gl, program) : undefined;
  }

  private constructor(gl: WebGL2RenderingContext, program: WebGLProgram) {
    this.#gl = gl;
    this.#program = program;
    // Colours come as the file has them.
    gl.pixelStorei(gl.UNPACK_COLORSPACE_CONVERSION_WEBGL, gl.NONE);
    this.#texture(0, gl.TEXTURE_2D, gl.LINEAR);
    this.#texture(1, gl.TEXTURE_3D, gl.NEAREST);
    gl.texImage3D(gl.TEXTURE_3D, 0, gl.RGB32F, 1, 1, 1, 0, gl.RGB, gl.FLOAT, new Float32Array(3));
    gl.useProgram(program);
    gl.uniform1i(this.#place("picture"), 0);
    gl.uniform1i(this.#place("table"), 1);
  }

  /** Paints a picture; without a table its colours stay. False when there is none yet. */
  paint(source: TexImageSource, table: Table | undefined, f: Finish): boolean {
    const gl = this.#gl;
    gl.useProgram(this.#program);
    gl.activeTexture(gl.TEXTURE0);
    gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA, gl.RGBA, gl.UNSIGNED_BYTE, source);
    if (table && table !== this.#table) {
      gl.activeTexture(gl.TEXTURE1);
      gl.texImage3D(gl.TEXTURE_3D, 0, gl.RGB32F, table.points, table.points, table.points, 0, gl.RGB, gl.FLOAT, table.values);
      this.#table = table;
    }
    gl.uniform1i(this.#place("points"), table ? table.points : 0);
    gl.uniform4f(this.#place("shape"), f.shape.x, f.shape.y, f.shape.w, f.shape.h);
    gl.uniform3f(this.#place("edge"), f.edge.angle, f.edge.x, f.edge.y);
    gl.uniform1f(this.#place("ratio"), f.ratio);
    gl.uniform2f(this.#place("bars"), f.bars.left, f.bars.top);
    gl.uniform1f(this.#place("split"), f.split);
    gl.uniform1f(this.#place("dim"), f.dim);
    gl.viewport(0, 0, gl.drawingBufferWidth, gl.drawingBufferHeight);
    gl.drawArrays(gl.TRIANGLES, 0, 3);
    return !gl.isContextLost();
  }

  /** The painted pixels, four bytes each, rows from the bottom. */
  read(): Uint8Array {
    const gl = this.#gl;
    const pixels = new Uint8Array(4 * gl.drawingBufferWidth * gl.drawingBufferHeight);
    gl.readPixels(0, 0, gl.drawingBufferWidth, gl.drawingBufferHeight, gl.RGBA, gl.UNSIGNED_BYTE, pixels);
    return pixels;
  }

  #texture(unit: number, kind: number, between: number): void {
    const gl = this.#gl;
    gl.activeTexture(gl.TEXTURE0 + unit);
    gl.bindTexture(kind, gl.createTexture());
    gl.texParameteri(kind, gl.TEXTURE_MIN_FILTER, between);
    gl.texParameteri(kind, gl.TEXTURE_MAG_FILTER, between);
    for (const way of [gl.TEXTURE_WRAP_S, gl.TEXTURE_WRAP_T, gl.TEXTURE_WRAP_R]) gl.texParameteri(kind, way, gl.CLAMP_TO_EDGE);
  }

  #place(name: string): WebGLUniformLocation | null {
    const known = this.#places.get(name);
    if (known !== undefined) return known;
    const place = this.#gl.getUniformLocation(this.#program, name);
    this.#places.set(name, place);
    return place;
  }
}

function link(gl: WebGL2RenderingContext): WebGLProgram | undefined {
  const program = gl.createProgram();
  for (const [kind, source] of [
    [gl.VERTEX_SHADER, vertexShader],
    [gl.FRAGMENT_SHADER, fragmentShader],
  ] as const) {
    const shader = gl.createShader(kind);
    if (!shader) return undefined;
    gl.shaderSource(shader, source);
    gl.compileShader(shader);
    gl.attachShader(program, shader);
  }
  gl.linkProgram(program);
  return gl.getProgramParameter(program, gl.LINK_STATUS) ? program : undefined;
}
