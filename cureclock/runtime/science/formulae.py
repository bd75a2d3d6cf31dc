"""The formulae behind the functions, as they are set on the page; each named by its function."""

FORMULAE: dict[str, tuple[str, ...]] = {
    "rates.doubling": (r"r = q^{(T - T_{label})/10}",),
    "rates.arrhenius": (r"r = \exp\left[-\frac{E_a}{R}\left(\frac{1}{T} - \frac{1}{T_{label}}\right)\right]",),
    "rates.energy_of_q": (r"E_a = \frac{R \ln q}{1/T - 1/(T + 10\,\mathrm{K})}",),
    "rates.q_of_two_temperatures": (
        r"q = \left(t_{cold}/t_{warm}\right)^{10/(T_{warm} - T_{cold})}, \quad 1.5 \le q \le 3",
    ),
    "rates.cooling": (
        r"r = \frac{\ln\frac{T_{pot} - T_{label}}{T_{solid} - T_{label}}}{\ln\frac{T_{pot} - T}{T_{solid} - T}}",
    ),
    "damp.drying_share": (r"r = \frac{p_s(T)\,(1 - h)}{p_s(T_{label})\,(1 - h_{label})}",),
    "clock.build_clock": (
        r"A(t) = \int_0^t r\bigl(T(s), H(s)\bigr)\,ds, \qquad t_{ready} = A^{-1}\bigl(A(t_0) + n\bigr)",
    ),
    "needs.thick_film": (r"f = (d/d_{ref})^p",),
    "night.shed_temp_c": (r"T(t) = T_{out} + (T_0 - T_{out})\,2^{-t/t_{half}}",),
    "trust.trust": (r"m = \frac{n_{0.9}}{n} - 1, \quad m \ge 0.08",),
    "wood.moisture.emc_pct": (
        r"M = \frac{1800}{W}\left[\frac{Kh}{1 - Kh} + \frac{K_1 K h + 2 K_1 K_2 K^2 h^2}{1 + K_1 K h + K_1 K_2 K^2 h^2}\right]",
        r"W = 349 + 1.29\,T + 0.0135\,T^2, \quad K = 0.805 + 0.000736\,T - 0.00000273\,T^2",
        r"K_1 = 6.27 - 0.00938\,T - 0.000303\,T^2, \quad K_2 = 1.91 + 0.0407\,T - 0.000293\,T^2",
    ),
    "wood.movement.movement_linear_mm": (r"\Delta w = w\,C\,(M_2 - M_1)",),
    "wood.movement.movement_total_mm": (
        r"\Delta w = \frac{w\,(M_2 - M_1)}{30 \cdot 100/S - 30 + M_1}",
    ),
    "wood.drying.moisture_after_pct": (
        r"\frac{dM}{dt} = -\kappa\,(M - M_{eq}), \quad M(t) = M_{eq} + (M_0 - M_{eq})\,e^{-\kappa t}",
    ),
    "wood.glue_water.glue_water_points": (
        r"\Delta M = 100\,\frac{n\,s\,w}{m_{dry}}",
    ),
    "wood.glue_water.moisture_diffusion_m2_s": (
        r"D(T) = D_{20}\,\exp\left[5280\,\mathrm{K}\left(\frac{1}{293.15\,\mathrm{K}} - \frac{1}{T}\right)\right]",
    ),
    "wood.heat.density_kg_m3": (r"\rho = 1000\,G\,(1 + M/100)",),
    "wood.heat.conductivity_w_mk": (r"k = G\,(0.1941 + 0.004064\,M) + 0.01864",),
    "wood.slab.biot_number": (r"Bi = hL/k",),
    "wood.slab.slab_roots": (r"\lambda \tan\lambda = Bi",),
    "wood.slab.slab_coefficients": (r"C = \frac{4 \sin\lambda}{2\lambda + \sin 2\lambda}",),
    "wood.slab.slab_left": (
        r"\frac{T - T_{air}}{T_0 - T_{air}} = \sum_n C_n\,e^{-\lambda_n^2 Fo}\cos(\lambda_n x/L)",
    ),
    "wood.lag.Block": (r"\tau = \frac{L^2}{\alpha\,\lambda_1^2}",),
    "wood.lag.pencil_lag_h": (r"\tau \approx \frac{\rho c\,(d/2)}{h} + \frac{d^2}{\pi^2 \alpha}",),
    "joint.assembly.heat_factor": (r"f = q^{-\max(T - T_{label},\,0)/10}",),
    "joint.bend.form_radius_m": (r"R_{form} = R\,(1 - 1/n^2)",),
    "joint.bend.springback_m": (r"s = y/n^2",),
    "joint.clamps.clamp_spacing_m": (r"a = 2\,(b + c)",),
    "joint.mix.glue_needed_g": (r"m = A\,s\,f\,(1 + w)",),
    "joint.pot.pot_life_s": (
        r"t = t_{label}\,\frac{m_{label}}{\max(m,\,m_{label})}\;q^{-\max(T - T_{label},\,0)/10}",
    ),
    "joint.pressure.screw_torque_nm": (r"T = K\,D\,F",),
    "joint.rim_speed.rim_speed_m_s": (r"v = \pi D n/60",),
    "joint.segment.mitre_deg": (r"\beta = 180^\circ/N",),
    "joint.segment.edge_length_m": (r"e = 2R\tan(180^\circ/N)",),
    "joint.stack.annulus_area_m2": (r"A = \pi\,(R_o^2 - R_i^2)",),
    "coat.air.dew_point_magnus_c": (
        r"\gamma = \frac{17.62\,T}{243.12 + T} + \ln h, \qquad T_d = \frac{243.12\,\gamma}{17.62 - \gamma}",
    ),
    "coat.air.night_rh_pct": (r"h_n = h\,\frac{p_s(T)}{p_s(T_n)}",),
    "coat.area.turned_area_m2": (
        r"A = \sum \pi\,(r_1 + r_2)\sqrt{(r_1 - r_2)^2 + l^2}",
    ),
    "coat.area.pappus_area_m2": (r"A = 2\pi\,\bar r\,s",),
    "coat.film.spreading_rate_m2_l": (r"c = \frac{10\,V_s}{d}",),
    "coat.film.wet_film_um": (r"d_{wet} = \frac{100\,d}{V_s}",),
    "coat.film.wet_film_of_rate_um": (r"d_{wet} = 1000/c",),
}  # fmt: skip
