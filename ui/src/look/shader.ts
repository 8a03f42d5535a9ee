/**
 * The look on a picture, as the films are rendered: the baked table between whose
 * points is gone by tetrahedra, then the darker edges, then the bars. Places count
 * from the top left.
 */
export const vertexShader = `#version 300 es
const vec2 corners[3] = vec2[3](vec2(-1.0, -1.0), vec2(3.0, -1.0), vec2(-1.0, 3.0));
out vec2 at;
void main() {
  vec2 p = corners[gl_VertexID];
  at = vec2(0.5 + 0.5 * p.x, 0.5 - 0.5 * p.y);
  gl_Position = vec4(p, 0.0, 1.0);
}`;

export const fragmentShader = `#version 300 es
precision highp float;
precision highp sampler3D;
uniform sampler2D picture;
uniform sampler3D table;
uniform int points;  // of the table a side; 0 for none
uniform vec4 shape;  // of the film within the picture: left, top, width, height, in shares
uniform vec3 edge;   // angle at the corners, 0 for none; where the centre is moved to
uniform float ratio; // width over height of the shape
uniform vec2 bars;   // of the letterbox, left and top, in shares of the shape
uniform float split; // to the left of it the picture is as filmed
uniform float dim;   // factor on the finished picture
in vec2 at;
out vec4 colour;

// From the dark corner of a cell along the largest fraction first, then the middle
// one, then the least.
vec3 graded(vec3 c) {
  vec3 place = clamp(c, 0.0, 1.0) * float(points - 1);
  ivec3 low = min(ivec3(place), points - 2);
  vec3 on = place - vec3(low);
  float most = max(on.r, max(on.g, on.b));
  float least = min(on.r, min(on.g, on.b));
  float middle = on.r + on.g + on.b - most - least;
  ivec3 first = on.r >= on.g && on.r >= on.b ? ivec3(1, 0, 0) : on.g >= on.b ? ivec3(0, 1, 0) : ivec3(0, 0, 1);
  ivec3 last = on.b <= on.r && on.b <= on.g ? ivec3(0, 0, 1) : on.g <= on.r ? ivec3(0, 1, 0) : ivec3(1, 0, 0);
  return (1.0 - most) * texelFetch(table, low, 0).rgb
    + (most - middle) * texelFetch(table, low + first, 0).rgb
    + (middle - least) * texelFetch(table, low + ivec3(1) - last, 0).rgb
    + least * texelFetch(table, low + ivec3(1), 0).rgb;
}

void main() {
  vec3 c = texture(picture, at).rgb;
  if (at.x < split) {
    colour = vec4(c, 1.0);
    return;
  }
  if (points > 1) c = clamp(graded(c), 0.0, 1.0);
  vec2 in_shape = (at - shape.xy) / shape.zw;
  if (edge.x > 0.0) {
    vec2 away = (2.0 * in_shape - 1.0 - edge.yz) * vec2(ratio, 1.0);
    float angle = edge.x * length(away) / length(vec2(ratio, 1.0));
    float near = angle < 1.5707963 ? cos(angle) : 0.0;
    c *= near * near * near * near;
  }
  bool inside = all(greaterThanEqual(in_shape, vec2(0.0))) && all(lessThanEqual(in_shape, vec2(1.0)));
  if (inside && (any(lessThan(in_shape, bars)) || any(greaterThan(in_shape, 1.0 - bars)))) c = vec3(0.0);
  colour = vec4(c * dim, 1.0);
}`;
