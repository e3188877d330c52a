// Draws the room to be turned: three tones of paper, ink along the edges, walls that give way to the eye. It draws when
// something has changed and not otherwise.
import {
  BackSide, Box3, Color, ColorManagement, EdgesGeometry, GLTFLoader, LineBasicMaterial, LineDashedMaterial,
  LineSegments, LinearSRGBColorSpace, Mesh, MOUSE, OrbitControls, OrthographicCamera, Scene, ShaderMaterial, Sphere,
  TOUCH, Vector2, WebGLRenderer,
} from "./vendor/three-0.187.0.js";

ColorManagement.enabled = false; // colours are taken from the stylesheet and put on the screen as they are

const KEY_TURN = Math.PI / 24;
const KEY_NEARER = 1.15;
const FAR_M = 60;
const MOST_PIXELS = 2;
const EDGE_DEG = 30;
const DOTS_M = 0.13; // of the dotted floor, from dot to dot
const OUTLINE_PX = 1.1;
const KEYS = {
  ArrowLeft: [1, 0, 1], ArrowRight: [-1, 0, 1], ArrowUp: [0, -1, 1], ArrowDown: [0, 1, 1],
  "+": [0, 0, KEY_NEARER], "=": [0, 0, KEY_NEARER], "-": [0, 0, 1 / KEY_NEARER], "−": [0, 0, 1 / KEY_NEARER],
};
// What each material is drawn with: tones of its top, its lit and its dark side by their names in the stylesheet.
const LOOKS = {
  floor: { tones: ["body", "body", "body"], edges: "none" },
  keep: { tones: ["ink", "ink", "ink"], dotted: true },
  wall: { tones: ["wash", "floor", "shaded"] },
  foot: { tones: ["ink", "ink", "ink"], edges: "none" },
  pane: { tones: ["sheet", "sheet", "sheet"], cover: 0.6 },
  overhead: { tones: ["shaded", "shaded", "shaded"], cover: 0, edges: "dashed" },
  kit: { tones: ["top", "light", "dark"], outline: true },
  boxing: { tones: ["floor", "floor", "shaded"] },
  yours: { tones: ["body", "body", "body"], cover: 0.55, edges: "dashed" },
  leaf: { tones: ["body", "body", "body"], cover: 0.5 },
  figure: { tones: ["ink", "ink", "ink"], edges: "none" },
};

const FACE = {
  vertexShader: `
    varying vec3 face, at;
    void main() { face = normal; at = position; gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0); }`,
  fragmentShader: `
    uniform vec3 top, light, dark; uniform float cover, pitch; uniform vec2 right;
    varying vec3 face, at;
    void main() {
      if (pitch > 0.0 && min(length(mod(at.xz, pitch) - 0.25 * pitch), length(mod(at.xz, pitch) - 0.75 * pitch)) > 0.009) discard;
      vec3 n = normalize(face);
      vec3 side = mix(dark, light, smoothstep(-0.5, 0.15, dot(n.xz, right)));
      gl_FragColor = vec4(n.y > 0.7 ? top : side, cover);
    }`,
};
const OUTLINE = {
  vertexShader: `
    uniform vec2 size; uniform float width;
    void main() {
      vec4 at = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
      vec2 out2 = (projectionMatrix * vec4(normalMatrix * normal, 0.0)).xy * size;
      if (length(out2) > 0.0) at.xy += normalize(out2) * 2.0 * width / size;
      gl_Position = at;
    }`,
  fragmentShader: "uniform vec3 ink; void main() { gl_FragColor = vec4(ink, 1.0); }",
};

export class Turned {
  /** The room of an address on a canvas; ``told`` is called with the number of the corner it is seen from. */
  static async of(canvas, address, told) {
    const { scene } = await new GLTFLoader().loadAsync(address);
    return new Turned(canvas, scene, told);
  }

  constructor(canvas, room, told) {
    this.canvas = canvas;
    this.told = told;
    this.renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true });
    this.renderer.outputColorSpace = LinearSRGBColorSpace;
    this.shared = { right: { value: new Vector2(1, 0) }, size: { value: new Vector2(1, 1) }, width: { value: OUTLINE_PX } };
    this.walls = [];
    this.scene = new Scene().add(room);
    this.ball = new Box3().setFromObject(room).getBoundingSphere(new Sphere());
    this.dress(room);
    this.camera = this.eye(room.userData);
    this.controls = this.hands();
    canvas.addEventListener("keydown", (event) => this.key(event));
    new ResizeObserver(() => this.fit()).observe(canvas);
  }

  colour(name) {
    return new Color(getComputedStyle(this.canvas).getPropertyValue(`--${name}`).trim());
  }

  dress(room) {
    const meshes = [];
    room.traverse((one) => { if (one.isMesh) meshes.push(one); });
    const materials = Object.fromEntries(Object.entries(LOOKS).map(([name, look]) => [name, this.material(name, look)]));
    const lines = { plain: this.line(LineBasicMaterial, {}), dashed: this.line(LineDashedMaterial, { dashSize: 0.04, gapSize: 0.03 }) };
    const outline = new ShaderMaterial({ ...OUTLINE, uniforms: { ...this.shared, ink: { value: this.colour("ink") } }, side: BackSide });
    for (const mesh of meshes) {
      const kind = mesh.material.name;
      const look = LOOKS[kind];
      mesh.material = materials[kind];
      if (look.edges !== "none") mesh.add(edges(mesh.geometry, lines[look.edges ?? "plain"]));
      if (look.outline) mesh.add(new Mesh(mesh.geometry, outline));
    }
    for (const node of room.children) {
      const { stands, at_m: at } = node.userData;
      if (stands) this.walls.push({ node, stands, foot: isFoot(node) });
      if (at) this.figure = stoodAt(node, at);
    }
  }

  material(name, { tones: [top, light, dark], cover = 1, dotted = false }) {
    const pitch = dotted ? DOTS_M : 0;
    const uniforms = { top: this.colour(top), light: this.colour(light), dark: this.colour(dark), cover, pitch };
    return new ShaderMaterial({
      ...FACE, name, visible: cover > 0, transparent: cover < 1, depthWrite: cover === 1, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 2,
      uniforms: { ...Object.fromEntries(Object.entries(uniforms).map(([key, value]) => [key, { value }])), right: this.shared.right },
    });
  }

  line(Material, more) {
    return new Material({ color: this.colour("ink"), ...more });
  }

  eye({ round_deg: round, down_deg: down }) {
    const camera = new OrthographicCamera(-1, 1, 1, -1, 0.1, 2 * FAR_M);
    this.first = -radians(round);
    camera.position.setFromSphericalCoords(FAR_M, radians(90 - down), this.first).add(this.ball.center);
    return camera;
  }

  hands() {
    const controls = new OrbitControls(this.camera, this.canvas);
    controls.target.copy(this.ball.center);
    Object.assign(controls, { enablePan: false, minZoom: 0.8, maxZoom: 5, minPolarAngle: radians(5), maxPolarAngle: radians(88) });
    controls.touches = { ONE: TOUCH.ROTATE, TWO: TOUCH.DOLLY_ROTATE };
    controls.mouseButtons = { LEFT: MOUSE.ROTATE, MIDDLE: MOUSE.DOLLY, RIGHT: MOUSE.ROTATE };
    controls.update();
    controls.addEventListener("change", () => this.draw());
    this.canvas.addEventListener("pointerdown", () => { controls.enableZoom = true; this.canvas.focus({ preventScroll: true }); });
    this.canvas.addEventListener("focus", () => { controls.enableZoom = true; });
    this.canvas.addEventListener("blur", () => { controls.enableZoom = false; }); // then a wheel scrolls the page
    return controls;
  }

  key(event) {
    const [across, up, nearer] = KEYS[event.key] ?? [];
    if (nearer === undefined || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    const { controls, camera } = this;
    const polar = Math.min(Math.max(controls.getPolarAngle() + up * KEY_TURN, controls.minPolarAngle), controls.maxPolarAngle);
    camera.position.setFromSphericalCoords(FAR_M, polar, controls.getAzimuthalAngle() + across * KEY_TURN).add(controls.target);
    camera.zoom = Math.min(Math.max(camera.zoom * nearer, controls.minZoom), controls.maxZoom);
    camera.updateProjectionMatrix();
    controls.update();
    this.draw();
  }

  /** The whole room in the canvas as large as it is now. */
  fit() {
    const { clientWidth: width, clientHeight: height } = this.canvas;
    if (!width || !height) return;
    const pixels = Math.min(window.devicePixelRatio, MOST_PIXELS);
    this.renderer.setPixelRatio(pixels);
    this.renderer.setSize(width, height, false);
    this.shared.size.value.set(width, height);
    const half = this.ball.radius / Math.min(1, width / height);
    Object.assign(this.camera, { left: -half * width / height, right: half * width / height, top: half, bottom: -half });
    this.camera.updateProjectionMatrix();
    this.draw();
  }

  draw() {
    const azimuth = this.controls.getAzimuthalAngle();
    this.shared.right.value.set(Math.cos(azimuth), -Math.sin(azimuth));
    this.figure.rotation.y = azimuth - this.first;
    for (const { node, stands, foot } of this.walls) {
      const step = 360 / stands.length;
      node.visible = (stands[Math.round(degrees(-azimuth) / step) % stands.length] === "1") !== foot;
    }
    this.renderer.render(this.scene, this.camera);
    this.told(cornerSeen(azimuth));
    this.canvas.dataset.drawn = Number(this.canvas.dataset.drawn ?? 0) + 1;
  }
}

function edges(geometry, material) {
  const lines = new LineSegments(new EdgesGeometry(geometry, EDGE_DEG), material);
  if (material.isLineDashedMaterial) lines.computeLineDistances();
  return lines;
}

function isFoot(node) {
  let found = false;
  node.traverse((one) => { found ||= one.material?.name === "foot"; });
  return found;
}

/** The figure, ready to be turned about its own middle. */
function stoodAt(node, [x, z]) {
  node.traverse((one) => one.geometry?.translate(-x, 0, -z));
  node.position.set(x, 0, z);
  return node;
}

/** Front left, front right, back right, back left: the corner nearest to the eye. */
function cornerSeen(azimuth) {
  const [right, front] = [Math.sin(azimuth) >= 0, Math.cos(azimuth) >= 0];
  return front ? Number(right) : 3 - Number(right);
}

const radians = (deg) => (deg * Math.PI) / 180;
const degrees = (rad) => (((rad * 180) / Math.PI) % 360 + 360) % 360;
