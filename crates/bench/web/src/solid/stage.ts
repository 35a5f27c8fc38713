/** A body drawn with WebGL: loaded only when it is asked for. */

import {
  AmbientLight,
  BufferAttribute,
  BufferGeometry,
  Color,
  DataTexture,
  DirectionalLight,
  Group,
  LineBasicMaterial,
  LineDashedMaterial,
  LineSegments,
  type Material,
  Mesh,
  MeshBasicMaterial,
  MeshLambertMaterial,
  NearestFilter,
  OrthographicCamera,
  Quaternion,
  Scene,
  SRGBColorSpace,
  Vector3,
  WebGLRenderer,
} from "three";
import { directions, type Eye } from "./eye";
import type { Body, Look, Shown } from "./shown";

/** Colours as three takes them: "#rrggbb". */
function colour(words: string): Color {
  return new Color().setStyle(words.trim() || "#16212a");
}

interface Part {
  faces: Mesh;
  lines: LineSegments;
  group: Group;
}

export class Stage {
  private readonly renderer: WebGLRenderer;
  private readonly scene = new Scene();
  private readonly camera = new OrthographicCamera();
  private readonly sun = new DirectionalLight(0xffffff, 1.6);
  private parts: Part[] = [];
  private shown: Shown | null = null;
  private eye: Eye | null = null;
  private middle = new Vector3();
  private reach = 1;

  /** Throws where the browser gives no WebGL. */
  constructor(
    private readonly canvas: HTMLCanvasElement,
    private readonly labels: HTMLElement,
  ) {
    this.renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true });
    this.scene.add(new AmbientLight(0xffffff, 1.7), this.sun);
  }

  show(shown: Shown, look: Look) {
    this.clear();
    this.shown = shown;
    const ink = colour(look.ink);
    for (const body of shown.bodies) this.parts.push(this.part(body, colour(look.plate), ink));
    for (const line of shown.lines) {
      const material = line.dashed
        ? new LineDashedMaterial({ color: ink, dashSize: 4, gapSize: 3 })
        : new LineBasicMaterial({ color: ink });
      const geometry = new BufferGeometry();
      geometry.setAttribute("position", new BufferAttribute(new Float32Array(line.segments), 3));
      const segments = new LineSegments(geometry, material);
      segments.computeLineDistances();
      this.scene.add(segments);
    }
    this.labels.replaceChildren(
      ...shown.labels.map((label) => {
        const words = document.createElement("span");
        words.textContent = label.words;
        return words;
      }),
    );
    const [low, high] = [new Vector3(...shown.low), new Vector3(...shown.high)];
    this.middle = low.clone().add(high).multiplyScalar(0.5);
    this.reach = Math.max(1, low.distanceTo(high) / 2);
    this.draw();
  }

  /** Where body `index` stands: turned (x, y, z, w), and its origin. */
  place(index: number, [x, y, z, w, ...to]: readonly number[]) {
    const group = this.parts[index]?.group;
    group?.quaternion.copy(new Quaternion(x, y, z, w).normalize());
    group?.position.set(to[0] ?? 0, to[1] ?? 0, to[2] ?? 0);
  }

  /** The points of body `index`, when it changes its shape. */
  reshape(index: number, points: Float32Array) {
    const part = this.parts[index];
    const body = this.shown?.bodies[index];
    if (!part || !body) return;
    fill(part.faces.geometry, points, body.triangles);
    part.faces.geometry.computeVertexNormals();
    fill(part.lines.geometry, points, body.edges);
  }

  lookFrom(eye: Eye) {
    this.eye = eye;
    this.draw();
  }

  draw() {
    const { eye, shown } = this;
    if (!eye || !shown) return;
    const [width, height] = [this.canvas.clientWidth, this.canvas.clientHeight];
    if (width === 0 || height === 0) return;
    this.renderer.setPixelRatio(Math.min(2, devicePixelRatio));
    this.renderer.setSize(width, height, false);
    const { up, toward } = directions(eye);
    const half = (this.reach * 1.1) / eye.near;
    const wide = width / height;
    const [across, high] = wide > 1 ? [half * wide, half] : [half, half / wide];
    Object.assign(this.camera, { left: -across, right: across, top: high, bottom: -high, near: 0, far: 8 * this.reach });
    this.camera.up.set(...up);
    this.camera.position.copy(this.middle).addScaledVector(new Vector3(...toward), 4 * this.reach);
    this.camera.lookAt(this.middle);
    this.camera.updateProjectionMatrix();
    this.camera.updateMatrixWorld();
    // Light comes over the left shoulder, wherever the eye is.
    const { right } = directions(eye);
    this.sun.position
      .set(0, 0, 0)
      .addScaledVector(new Vector3(...right), -0.5)
      .addScaledVector(new Vector3(...up), 0.8)
      .addScaledVector(new Vector3(...toward), 1);
    this.renderer.render(this.scene, this.camera);
    this.write(width, height);
  }

  /** Words stand beside their places, and off each other where they can. */
  private write(width: number, height: number) {
    const taken: { x: number; y: number; wide: number; high: number }[] = [];
    this.shown?.labels.forEach((label, index) => {
      const words = this.labels.children[index] as HTMLElement | undefined;
      if (!words) return;
      const at = new Vector3(...label.at).project(this.camera);
      const [wide, high] = [words.offsetWidth, words.offsetHeight];
      const x = Math.max(0, Math.min(width - wide, ((at.x + 1) / 2) * width + 6));
      let y = Math.max(0, Math.min(height - high, ((1 - at.y) / 2) * height - high - 4));
      for (let tries = 0; tries < 12; tries += 1) {
        const meets = taken.find(
          (other) => x < other.x + other.wide && other.x < x + wide && y < other.y + other.high && other.y < y + high,
        );
        if (!meets) break;
        y = meets.y + meets.high + high <= height ? meets.y + meets.high : Math.max(0, meets.y - high);
      }
      taken.push({ x, y, wide, high });
      words.style.transform = `translate(${x.toFixed(0)}px, ${y.toFixed(0)}px)`;
      words.hidden = Math.abs(at.x) > 1 || Math.abs(at.y) > 1;
    });
  }

  private part(body: Body, plate: Color, ink: Color): Part {
    const group = new Group();
    const faces = new BufferGeometry();
    fill(faces, body.points, body.triangles);
    faces.computeVertexNormals();
    const behind = { polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 };
    let material: Material = new MeshLambertMaterial({ color: plate, ...behind });
    if (body.bands) {
      const across = new Float32Array(body.bands.shares.length * 2);
      // A hair off either end of the row of colours.
      body.bands.shares.forEach((share, corner) => {
        across[2 * corner] = Math.min(0.9999, Math.max(0.0001, share));
        across[2 * corner + 1] = 0.5;
      });
      faces.setAttribute("uv", new BufferAttribute(across, 2));
      const row = new Uint8Array(body.bands.colours.length * 4);
      body.bands.colours.forEach((words, band) => {
        const [red, green, blue] = [1, 3, 5].map((at) => Number.parseInt(words.slice(at, at + 2), 16));
        row.set([red ?? 0, green ?? 0, blue ?? 0, 255], 4 * band);
      });
      const map = new DataTexture(row, body.bands.colours.length, 1);
      map.magFilter = NearestFilter;
      map.minFilter = NearestFilter;
      map.colorSpace = SRGBColorSpace;
      map.needsUpdate = true;
      // A middle surface is seen from both sides; its colours are read, so no light falls on them.
      material = new MeshBasicMaterial({ map, side: 2, ...behind });
    }
    const mesh = new Mesh(faces, material);
    const edges = new BufferGeometry();
    fill(edges, body.points, body.edges);
    const lines = new LineSegments(edges, new LineBasicMaterial({ color: body.bands ? new Color("#1b1a17") : ink }));
    mesh.frustumCulled = false;
    lines.frustumCulled = false;
    group.add(mesh, lines);
    this.scene.add(group);
    return { faces: mesh, lines, group };
  }

  private clear() {
    const kept = this.scene.children.filter((child) => child === this.sun || child instanceof AmbientLight);
    this.scene.traverse((thing) => {
      if (thing instanceof Mesh || thing instanceof LineSegments) {
        thing.geometry.dispose();
        const material = thing.material as Material & { map?: { dispose(): void } | null };
        material.map?.dispose();
        material.dispose();
      }
    });
    this.scene.clear();
    this.scene.add(...kept);
    this.parts = [];
  }

  dispose() {
    this.clear();
    this.labels.replaceChildren();
    this.renderer.dispose();
  }
}

/** Each corner of each triangle, or each end of each edge, with a place of its own: faces are flat and meet at edges. */
function fill(geometry: BufferGeometry, points: ArrayLike<number>, corners: number[]) {
  const places = new Float32Array(corners.length * 3);
  corners.forEach((corner, index) => {
    for (let way = 0; way < 3; way += 1) places[3 * index + way] = points[3 * corner + way] ?? 0;
  });
  geometry.setAttribute("position", new BufferAttribute(places, 3));
}
