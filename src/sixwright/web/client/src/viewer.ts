// A sculpt in space, drawn by the browser: a file of its own, loaded where a page has one.

import {
  BufferAttribute,
  BufferGeometry,
  DoubleSide,
  Mesh,
  OrthographicCamera,
  Scene,
  ShaderMaterial,
  WebGLRenderer,
} from "three";

import type { Seen } from "./seen";

// The light and the clay of the pictures that the server draws: numerics/mesh/views.py and
// reports/raster/panel.py.
const VERTEX = `
varying vec3 looks;
void main() {
  looks = normalize(normalMatrix * normal);
  gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
}`;
const FRAGMENT = `
varying vec3 looks;
void main() {
  vec3 n = normalize(looks);
  if (n.z < 0.0) n = -n;
  float lit = max(dot(n, normalize(vec3(-0.45, 0.60, 0.66))), 0.0);
  float shade = 0.14 + 0.28 * n.z + 0.58 * lit;
  vec3 clay = mix(vec3(46.0, 42.0, 40.0), vec3(238.0, 232.0, 222.0), shade) / 255.0;
  gl_FragColor = vec4(clay, 1.0);
}`;
const FAR_MM = 5000;

export class Viewer {
  private readonly renderer: WebGLRenderer;
  private readonly scene = new Scene();
  private readonly camera = new OrthographicCamera(-1, 1, 1, -1, 1, 2 * FAR_MM);
  private readonly clay = new ShaderMaterial({
    vertexShader: VERTEX,
    fragmentShader: FRAGMENT,
    side: DoubleSide,
  });
  private mesh: Mesh | null = null;

  // Throws where the browser has no WebGL.
  constructor(canvas: HTMLCanvasElement) {
    this.renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true });
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
  }

  show(places: Float32Array, corners: Uint32Array): void {
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new BufferAttribute(places, 3));
    geometry.setIndex(new BufferAttribute(corners, 1));
    geometry.computeVertexNormals();
    if (this.mesh) {
      this.scene.remove(this.mesh);
      this.mesh.geometry.dispose();
    }
    this.mesh = new Mesh(geometry, this.clay);
    this.scene.add(this.mesh);
  }

  draw({ middle, towards, up, step, width, height }: Seen): void {
    const { camera } = this;
    camera.right = (step * width) / 2;
    camera.left = -camera.right;
    camera.top = (step * height) / 2;
    camera.bottom = -camera.top;
    camera.updateProjectionMatrix();
    camera.up.set(...up);
    const [x, y, z] = middle;
    camera.position.set(x + FAR_MM * towards[0], y + FAR_MM * towards[1], z + FAR_MM * towards[2]);
    camera.lookAt(x, y, z);
    this.renderer.setSize(width, height, false);
    this.renderer.render(this.scene, camera);
  }
}
