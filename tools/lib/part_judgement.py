"""Both layouts side by side at the duty point: by the laws, and by the default values of public law."""

import math

import gear_laws
import gear_parts
import part_design as design

# Universal joints of a central drive, as its trucks state them.
JOINTS_DEG = (3, 5)
JOINT_FRICTION, JOINT_RADII = 0.05, 0.35

# The parts that the layouts are shown with.
LAYOUTS = {
    "central": ("gearbox-4-speed", "final-drive-hypoid-5-3"),
    "electric axle": ("gearbox-axle-2-speed", "planet-set-axle", "differential-axle"),
}

# (EU) 2017/2400, Annex VI: constants of a mesh and of the bearings of a gearbox; Annex VII: a single reduction.
EU_MESH, EU_BEARINGS, EU_AXLE = 0.986, 0.995, 0.98
EU_INTERNAL_MESH = 0.993
EU_DIRECT = 0.99  # Annex VI, Appendix 8


def eu_axle_drag_nm(ratio):
    """At the wheels: T0 + T1 i of a single reduction."""
    return 70 + 20 * ratio


def eu_electric_axle_drag_nm(ratio):
    """(EU) 2022/1379, Annex Xb: differential behind a spur gear, at the wheels."""
    return 25 + 5 * ratio


def eu_central_efficiency():
    return EU_MESH ** 2 * EU_BEARINGS * EU_AXLE


def eu_electric_axle_efficiency():
    return (EU_MESH * EU_BEARINGS) ** 2


def eu_direct_central_efficiency():
    """As our central drives run in top gear: direct."""
    return EU_DIRECT * EU_AXLE


def eu_three_mesh_axle_efficiency(planet_ratio):
    """As our electric axles are: two meshes and a planet set, the bearings of either counted."""
    planets = gear_laws.planet_set_efficiency(planet_ratio - 1, EU_MESH * EU_INTERNAL_MESH)
    return EU_MESH ** 2 * EU_BEARINGS * planets * EU_BEARINGS


def eu_lead_as_arranged():
    """Of the electric axle over the central drive under load, both arranged as LAYOUTS: below 0."""
    planet_ratio = gear_parts.planet_ratio(design.PLANET_SETS[LAYOUTS["electric axle"][1]])
    return eu_three_mesh_axle_efficiency(planet_ratio) - eu_direct_central_efficiency()


def central(gearbox, final_drive):
    """(load efficiency in top gear, without the joints and with them; drag at the wheels without hubs)."""
    box = gear_parts.gearbox(design.GEARBOXES[gearbox])
    axle = gear_parts.final_drive(design.FINAL_DRIVES[final_drive])
    gears = box.efficiencies[-1] * axle.efficiencies[0]
    joints = 1.0
    for degrees in JOINTS_DEG:
        joints *= 1 - gear_laws.joint_loss_share(math.radians(degrees), JOINT_FRICTION, JOINT_RADII)
    ratio = design.GEARBOXES[gearbox].ratios[-1] * design.FINAL_DRIVES[final_drive].ratio
    return gears, gears * joints, axle.drag_duty_nm, box.drag_duty_nm * ratio


def electric_axle(gearbox, planet_set, differential):
    of_box, of_set = design.GEARBOXES[gearbox], design.PLANET_SETS[planet_set]
    box, planets = gear_parts.gearbox(of_box), gear_parts.planet_set(of_set)
    gears = (box.efficiencies[-1] * gear_parts.differential(design.DIFFERENTIALS[differential]).efficiencies[0]
             * gear_laws.planet_set_efficiency(of_set.ring_teeth / of_set.sun_teeth, planets.efficiencies[0]))
    return gears, gears, planets.drag_duty_nm, box.drag_duty_nm * gear_parts.planet_ratio(of_set) * of_box.ratios[-1]


def layout_lines():
    """Load efficiencies in top gear and drags at the wheels, without hubs, which both layouts have alike."""
    ratio = design.FINAL_DRIVES[LAYOUTS["central"][1]].ratio
    planet_ratio = gear_parts.planet_ratio(design.PLANET_SETS[LAYOUTS["electric axle"][1]])
    rows = [("by the laws, central drive", *central(*LAYOUTS["central"])),
            ("by the laws, electric axle", *electric_axle(*LAYOUTS["electric axle"]))]
    by_law = [("defaults of law, direct gear and a final drive", eu_direct_central_efficiency(), eu_axle_drag_nm(ratio)),
              ("defaults of law, two meshes and a final drive", eu_central_efficiency(), eu_axle_drag_nm(ratio)),
              ("defaults of law, axle of two meshes and planets", eu_three_mesh_axle_efficiency(planet_ratio),
               eu_electric_axle_drag_nm(planet_ratio)),
              ("defaults of law, axle of two meshes", eu_electric_axle_efficiency(), eu_electric_axle_drag_nm(planet_ratio))]
    lines = ["", "Both layouts at the duty point in top gear; drags at the wheels, without hubs.",
             f"{'':48}{'gears':>8}{'joints':>8}{'axle Nm':>9}{'gearbox Nm':>12}"]
    lines += [f"{name:48}{gears:8.4f}{joints:8.4f}{axle_nm:9.1f}{box_nm:12.1f}" for name, gears, joints, axle_nm, box_nm in rows]
    lines += [f"{name:48}{gears:8.4f}{'':8}{axle_nm:9.1f}" for name, gears, axle_nm in by_law]
    lines += [f"Arranged as ours, the defaults favour the central drive by {points(-eu_lead_as_arranged())} points under load, the laws "
              f"the electric axle by {points(rows[1][1] - rows[0][1])}:",
              "the law takes two to three times as much for a mesh, and less for a hypoid set. With a mesh more in the gearbox and one less",
              f"in the axle the defaults favour the electric axle by {points(eu_electric_axle_efficiency() - eu_central_efficiency())}."]
    return lines


def points(share):
    return f"{100 * share:.1f}"

