//! The march through time: fourth-order Runge-Kutta, in steps as long as the stiffest motion allows, each held
//! to its energy balance.

use crate::curve::Knot;
use crate::drop::{STANDARD_GRAVITY, unit};
use crate::model::Model;
use crate::network::Axis;
use crate::peaks::Peak;
use crate::response::{Audit, ContactResponse, Energies, LinkResponse, MassResponse, PartResponse, Response};
use crate::spring::{Memory, Spring};
use crate::{Drop, ImpactError, Settings};

/// Longest step, s: even free flight is looked at this often (judgement).
const LONGEST_STEP_S: f64 = 1e-3;
/// Growth from one step to the next, at most.
const GROWTH: f64 = 2.0;
/// How often one step is halved before it is taken as it is: a jump of force has no smaller error in sight.
const MOST_HALVINGS: usize = 10;

/// The coordinates and springs that one drop moves. Axes without a share of the fall stay at rest.
struct Scene<'a> {
    springs: Vec<Spring>,
    /// Place of each spring in the model's list.
    sources: Vec<usize>,
    knots: &'a [Knot],
    /// Of each coordinate, 1/kg; 0 for the wall.
    inverse: Vec<f64>,
    /// Gravity along each coordinate, m/s2; 0 for the wall.
    pull: Vec<f64>,
    /// Stiffness and damping of each coordinate, summed anew each time.
    stiffness: Vec<f64>,
    damping: Vec<f64>,
    /// Springs that may push within the next step.
    near: Vec<usize>,
    /// The same for the step after it.
    soon: Vec<usize>,
}

/// Places, speeds and accelerations of all coordinates, in m and s.
#[derive(Clone)]
struct State {
    place: Vec<f64>,
    speed: Vec<f64>,
    acceleration: Vec<f64>,
    /// W.
    damped_w: f64,
    energies: Energies,
    /// Longest step that the stiffness allows, s.
    step_s: f64,
}

impl Scene<'_> {
    fn spring_knots(&self, spring: &Spring) -> &[Knot] {
        &self.knots[spring.first..spring.first + spring.knots]
    }

    fn settle(&self, acceleration: &mut [f64]) {
        for ((force, inverse), pull) in acceleration.iter_mut().zip(&self.inverse).zip(&self.pull) {
            *force = *force * inverse + pull;
        }
    }

    /// Accelerations in between; the power that dampers take.
    fn accelerate(&self, memory: &mut [Memory], place: &[f64], speed: &[f64], out: &mut [f64]) -> f64 {
        out.fill(0.0);
        let mut damped = 0.0;
        for &n in &self.near {
            let spring = &self.springs[n];
            let pressed = spring.pressed(place, speed);
            if pressed.0 < 0.0 {
                continue;
            }
            let (force, power) = memory[n].push(spring, self.spring_knots(spring), pressed);
            out[spring.low] -= force;
            out[spring.high] += force;
            damped += power;
        }
        self.settle(out);
        damped
    }

    /// Everything at the end of a step: accelerations, energies, the next step, and which springs may be
    /// pressed within the time ahead. For these, twice the way at the present speed and twice that at the
    /// last acceleration, `lately`, are allowed for.
    fn look(&mut self, state: &mut State, memory: &mut [Memory], lately: &[f64], ahead_s: f64, radians: f64) {
        self.soon.clear();
        state.acceleration.fill(0.0);
        self.stiffness.fill(0.0);
        self.damping.fill(0.0);
        let mut stored = 0.0;
        state.damped_w = 0.0;
        for (n, (spring, memory)) in self.springs.iter().zip(memory).enumerate() {
            let (at_m, closing) = spring.pressed(&state.place, &state.speed);
            memory.nearest_m = memory.nearest_m.max(at_m);
            let gain = (lately[spring.low] - lately[spring.high]).abs();
            if at_m + ahead_s * (2.0 * closing.max(0.0) + ahead_s * gain) < 0.0 {
                continue;
            }
            self.soon.push(n);
            let knots = &self.knots[spring.first..spring.first + spring.knots];
            let push = memory.look(spring, knots, at_m, closing, ahead_s);
            if push.stiffness == 0.0 {
                continue;
            }
            memory.peak_n = memory.peak_n.max(push.force_n);
            state.acceleration[spring.low] -= push.force_n;
            state.acceleration[spring.high] += push.force_n;
            state.damped_w += push.damped_w;
            stored += push.stored_j;
            for end in [spring.low, spring.high] {
                self.stiffness[end] += spring.weight * push.stiffness;
                self.damping[end] += spring.weight * spring.damping;
            }
        }
        self.settle(&mut state.acceleration);
        let (mut moving, mut height, mut square, mut rate) = (0.0, 0.0, 0.0_f64, 0.0_f64);
        for (n, &inverse) in self.inverse.iter().enumerate() {
            if inverse > 0.0 {
                moving += state.speed[n] * state.speed[n] / (2.0 * inverse);
                height -= self.pull[n] * state.place[n] / inverse;
                square = square.max(self.stiffness[n] * inverse);
                rate = rate.max(self.damping[n] * inverse);
            }
        }
        state.energies.moving_j = moving;
        state.energies.stored_j = stored;
        state.energies.height_j = height;
        let fastest = square.sqrt().max(rate);
        state.step_s = (radians / fastest).min(LONGEST_STEP_S);
    }
}

/// Drops a model that was checked.
pub(crate) fn march(model: &Model, drop: &Drop, settings: &Settings) -> Result<Response, ImpactError> {
    let direction = unit(drop.direction)?;
    let driven: Vec<Axis> = Axis::ALL.into_iter().filter(|axis| direction[axis.place()] != 0.0).collect();
    let masses = model.masses.len();
    let width = masses + 1;
    let mut scene = Scene {
        springs: Vec::with_capacity(model.springs.len()),
        sources: Vec::with_capacity(model.springs.len()),
        knots: &model.knots,
        inverse: Vec::with_capacity(driven.len() * width),
        pull: Vec::with_capacity(driven.len() * width),
        stiffness: vec![0.0; driven.len() * width],
        damping: vec![0.0; driven.len() * width],
        near: Vec::with_capacity(model.springs.len()),
        soon: Vec::with_capacity(model.springs.len()),
    };
    let mut start = State {
        place: vec![0.0; driven.len() * width],
        speed: Vec::with_capacity(driven.len() * width),
        acceleration: vec![0.0; driven.len() * width],
        damped_w: 0.0,
        energies: Energies { time_s: 0.0, moving_j: 0.0, stored_j: 0.0, height_j: 0.0, lost_j: 0.0 },
        step_s: 0.0,
    };
    let speed = (1.0 + drop.rebound) * drop.speed();
    // A carton that flies up again falls freely, and its contents with it.
    let gravity = if drop.gravity && drop.rebound == 0.0 { STANDARD_GRAVITY } else { 0.0 };
    for (slot, axis) in driven.iter().enumerate() {
        let along = direction[axis.place()];
        for mass in &model.masses {
            scene.inverse.push(1.0 / mass);
            scene.pull.push(gravity * along);
            start.speed.push(speed * along);
        }
        scene.inverse.push(0.0);
        scene.pull.push(0.0);
        start.speed.push(0.0);
        for (n, (_, spring)) in model.springs.iter().enumerate().filter(|(_, (its, _))| its == axis) {
            let (low, high) = (spring.low + slot * width, spring.high + slot * width);
            scene.springs.push(Spring { low, high, ..spring.clone() });
            scene.sources.push(n);
        }
    }
    let memory: Vec<Memory> = scene.springs.iter().map(|spring| Memory::new(spring.slack_m)).collect();
    let mut axis_peaks = vec![Peak::default(); driven.len() * width];
    let mut peaks = vec![Peak::default(); masses];
    // 1 - cos(step / 4): what the top of the stiffest motion can stand above the points half a step apart.
    let most_above = settings.step_radians * settings.step_radians / 32.0;
    let slack = (1.0 + most_above) * (1.0 + most_above);
    let (memory, audit) =
        follow(&mut scene, start, memory, settings, &mut |before, middle, after, step_s| {
            let at = before.energies.time_s;
            for (mass, peak) in peaks.iter_mut().enumerate() {
                let mut squares = [0.0; 3];
                for n in (mass..driven.len() * width).step_by(width) {
                    let sizes = [before.acceleration[n].abs(), middle[n].abs(), after.acceleration[n].abs()];
                    axis_peaks[n].note(sizes, (at, step_s), most_above);
                    for (sum, size) in squares.iter_mut().zip(sizes) {
                        *sum += size * size;
                    }
                }
                if driven.len() == 1 {
                    *peak = axis_peaks[mass];
                } else if squares.iter().any(|square| square * slack > peak.size * peak.size) {
                    peak.note(squares.map(f64::sqrt), (at, step_s), most_above);
                }
            }
        })?;

    let masses = (0..masses).map(|mass| {
        let mut axis_peak_g = [0.0; 3];
        for (slot, axis) in driven.iter().enumerate() {
            axis_peak_g[axis.place()] = axis_peaks[slot * width + mass].size / STANDARD_GRAVITY;
        }
        let peak_g = peaks[mass].size / STANDARD_GRAVITY;
        let parts = (model.allowable[mass].iter())
            .map(|allowable| PartResponse { share_of_allowable: peak_g / allowable })
            .collect();
        MassResponse { peak_g, axis_peak_g, peak_at_s: peaks[mass].at_s, parts }
    });
    let masses = masses.collect();
    let mut known: Vec<Memory> =
        model.springs.iter().map(|(_, spring)| Memory::new(spring.slack_m)).collect();
    for (source, memory) in scene.sources.iter().zip(memory) {
        known[*source] = memory;
    }
    let (links, contacts) = known.split_at(model.links);
    let links = links.iter().zip(&model.bottoms).map(|(memory, bottom)| LinkResponse {
        peak_m: memory.peak_m,
        peak_n: memory.peak_n,
        bottomed: memory.peak_m >= *bottom,
    });
    let contacts = contacts.iter().map(|memory| ContactResponse {
        closest_m: (-memory.nearest_m).max(0.0),
        met_m_per_s: memory.met_m_per_s,
        peak_n: memory.peak_n,
    });
    Ok(Response { masses, links: links.collect(), contacts: contacts.collect(), audit })
}

/// `out` = from + by * rate, for each coordinate.
fn ahead(out: &mut [f64], from: &[f64], by: f64, rate: &[f64]) {
    for ((out, from), rate) in out.iter_mut().zip(from).zip(rate) {
        *out = from + by * rate;
    }
}

/// Called with each step: the state before, the accelerations half way, the state after, and its length in s.
type Watch<'a> = &'a mut dyn FnMut(&State, &[f64], &State, f64);

fn follow(
    scene: &mut Scene<'_>,
    mut state: State,
    mut memory: Vec<Memory>,
    settings: &Settings,
    watch: Watch<'_>,
) -> Result<(Vec<Memory>, Audit), ImpactError> {
    let size = state.place.len();
    scene.look(&mut state, &mut memory, &vec![0.0; size], LONGEST_STEP_S, settings.step_radians);
    std::mem::swap(&mut scene.near, &mut scene.soon);
    let start = state.energies;
    let reference = start.moving_j;
    let mut audit = Audit {
        start,
        end: start,
        largest_gain: 0.0,
        largest_imbalance: 0.0,
        steps: 0,
        halved: 0,
        record: Vec::new(),
    };
    if settings.record {
        audit.record.push(start);
    }
    let mut least = start.mechanical_j();
    let mut next = state.clone();
    let mut then = memory.clone();
    let (mut place, mut speed) = (vec![0.0; size], vec![0.0; size]);
    let (mut second, mut third, mut fourth) = (vec![0.0; size], vec![0.0; size], vec![0.0; size]);
    let mut halvings = 0;
    let mut step_s = state.step_s;
    while state.energies.time_s < settings.time_s {
        if audit.steps + audit.halved >= settings.most_steps {
            let reached_s = state.energies.time_s;
            return Err(ImpactError::Unfinished { steps: settings.most_steps, reached_s });
        }
        let step = step_s.min(settings.time_s - state.energies.time_s).max(f64::MIN_POSITIVE);
        let (half, sixth) = (step / 2.0, step / 6.0);
        let (u, v, first) = (&state.place, &state.speed, &state.acceleration);
        ahead(&mut place, u, half, v);
        ahead(&mut speed, v, half, first);
        let damped_second = scene.accelerate(&mut memory, &place, &speed, &mut second);
        ahead(&mut place, u, half, &speed);
        ahead(&mut speed, v, half, &second);
        let damped_third = scene.accelerate(&mut memory, &place, &speed, &mut third);
        ahead(&mut place, u, step, &speed);
        ahead(&mut speed, v, step, &third);
        let damped_fourth = scene.accelerate(&mut memory, &place, &speed, &mut fourth);
        // The classical weights: the place ends at u + h v + h^2 (a1 + a2 + a3) / 6.
        for (((sum, first), second), third) in speed.iter_mut().zip(first).zip(&second).zip(&third) {
            *sum = first + second + third;
        }
        ahead(&mut place, v, sixth, &speed);
        ahead(&mut next.place, u, step, &place);
        for ((((sum, first), second), third), fourth) in
            speed.iter_mut().zip(first).zip(&second).zip(&third).zip(&fourth)
        {
            *sum = first + 2.0 * (second + third) + fourth;
        }
        ahead(&mut next.speed, v, sixth, &speed);
        then.clone_from_slice(&memory);
        let damped = sixth * (state.damped_w + 2.0 * (damped_second + damped_third) + damped_fourth);
        next.energies.lost_j = state.energies.lost_j + damped;
        for &n in &scene.near {
            let spring = &scene.springs[n];
            let (from, to) = (spring.pressed(u, v), spring.pressed(&next.place, &next.speed));
            next.energies.lost_j += then[n].step(scene.spring_knots(spring), from, to, step);
        }
        scene.look(&mut next, &mut then, &third, GROWTH * step, settings.step_radians);
        next.energies.time_s = state.energies.time_s + step;

        let (old, new) = (state.energies, next.energies);
        let imbalance = (new.mechanical_j() + new.lost_j) - (old.mechanical_j() + old.lost_j);
        // Written so that what is no number is not passed.
        let balanced = imbalance.abs() <= settings.imbalance * reference;
        if !balanced && halvings < MOST_HALVINGS {
            halvings += 1;
            audit.halved += 1;
            step_s = step / 2.0;
            continue;
        }
        if !imbalance.is_finite() {
            return Err(ImpactError::NotANumber { reached_s: old.time_s });
        }
        halvings = 0;
        // Half way, the second look lags by as much as the third leads: their mean is good to the third order.
        for (middle, third) in second.iter_mut().zip(&third) {
            *middle = (*middle + third) / 2.0;
        }
        watch(&state, &second, &next, step);
        step_s = next.step_s.min(GROWTH * step);
        std::mem::swap(&mut scene.near, &mut scene.soon);
        std::mem::swap(&mut state, &mut next);
        std::mem::swap(&mut memory, &mut then);
        audit.steps += 1;
        audit.largest_gain = audit.largest_gain.max((new.mechanical_j() - least) / reference);
        least = least.min(new.mechanical_j());
        let books = new.mechanical_j() + new.lost_j - start.mechanical_j() - start.lost_j;
        audit.largest_imbalance = audit.largest_imbalance.max(books.abs() / reference);
        if settings.record {
            audit.record.push(new);
        }
        if new.moving_j + new.stored_j <= settings.rest_share * reference {
            break;
        }
    }
    audit.end = state.energies;
    Ok((memory, audit))
}
