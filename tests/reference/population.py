"""Brute force against the simulated golfers of src/causes: the same model, read from the same YAML,
written independently with numpy. Golfers come straight from the prior (no stratification, no
weights), every shot is a shot (random numbers, classes decided one by one), and the posterior is
the plain weighted share.

  python3 population.py judge [GOLFERS] [SEED] [SETS]    writes posteriors.tsv next to this file; with set numbers (11,12) only their lines
  python3 population.py golfers [COUNT] [SEED]    writes golfers.tsv: golfers with their reports

Needs numpy, scipy and PyYAML. Units as in the YAML: inches, mm, degrees, per cent.
Signs: low point + target side, height + up, directions + push side, strike + toe, lie + toe up."""
import os, re, sys, time
import numpy as np
import yaml
from scipy.special import ndtr as cdf

HERE = os.path.dirname(os.path.abspath(__file__))
KNOWLEDGE = os.path.join(HERE, '..', '..', 'knowledge')
DEG = np.pi/180
BALL = 21.335
SHOTS, POOR = 72, 24
SPREADS = {'low_point_spread', 'arc_height_spread', 'swing_direction_spread', 'face_angle_spread',
           'strike_across_spread', 'club_speed_spread'}
CHANCES = {'friction_lost', 'response'}
ORDER = ['wedge', 'short_iron', 'mid_iron', 'long_iron', 'hybrid', 'fairway', 'driver']


def load(name):
    with open(os.path.join(KNOWLEDGE, name)) as f:
        return yaml.safe_load(f)


def folder(name):
    out = []
    for f in sorted(os.listdir(os.path.join(KNOWLEDGE, name))):
        out += load(os.path.join(name, f))
    return out


def num(text):
    return float(str(text).split()[0])


class Knowledge:
    def __init__(k):
        k.set = load('population.yaml')[0]
        k.groups = {g['id']: g for g in load('groups.yaml')}
        k.gids = [g['id'] for g in load('groups.yaml')]
        k.causes = folder('causes'); k.ids = [c['id'] for c in k.causes]
        k.at = {c: i for i, c in enumerate(k.ids)}
        k.symptoms = {s['id']: s for s in folder('symptoms')}
        k.checks = {c['id']: c for c in folder('checks')}
        f = k.set.get('prior_factors', {})
        k.own = np.array([c['prior']*f.get(c['id'], 1)*k.set['prior_scale'] for c in k.causes])
        k.links = [(k.at[c['id']], k.at[t], w*k.set['link_scale']) for c in k.causes for t, w in c.get('leads_to', {}).items()]
        into = {i: [] for i in range(len(k.ids))}
        for e, (a, b, w) in enumerate(k.links):
            into[b].append((e, a))
        k.into, k.order, seen = into, [], set()
        def visit(i):
            if i not in seen:
                seen.add(i)
                for _, a in into[i]: visit(a)
                k.order.append(i)
        for i in range(len(k.ids)): visit(i)
        fam = {g: k.groups[g]['family'] for g in k.gids}
        k.shift = {g: {} for g in k.gids}
        for i, c in enumerate(k.causes):
            general, special = {}, {g: {} for g in k.gids}
            for entry in c.get('shifts') or []:
                entry = dict(entry); words = entry.pop('for', None)
                read = {a: ([float(x.split()[0]) for x in v.split('+/-')] + [0.0])[:2] if isinstance(v, str) else [float(v), 0.0] for a, v in entry.items()}
                if words is None: general.update(read)
                else:
                    for w in ([words] if isinstance(words, str) else words):
                        for g in k.gids:
                            if w in ('all', g, fam[g]): special[g].update(read)
            for g in k.gids:
                for a, (m, sd) in {**general, **special[g]}.items():
                    k.shift[g].setdefault(a, []).append((i, m, sd))
        k.habit = [i for i, c in enumerate(k.causes) if c['family'] in k.set['habits']]


class Golfers:
    """Golfers from the prior: causes, personal deviations, sizes of shifts."""
    def __init__(p, k, n, rng, calm=False):
        p.k, p.n, p.rng = k, n, rng
        own = rng.random((n, len(k.ids))) < (0 if calm else k.own)
        act = rng.random((n, len(k.links))) < np.array([w for *_, w in k.links])
        z = own
        for i in k.order:
            for e, a in k.into[i]: z[:, i] |= z[:, a] & act[:, e]
        p.has = z
        p.person = {}; p.size = {}; p.own = {}

    def dev(p, name):
        if name not in p.person: p.person[name] = p.rng.standard_normal(p.n)
        return p.person[name]

    def mixed(p, g, name):
        if (g, name) not in p.own: p.own[g, name] = p.rng.standard_normal(p.n)
        return .84*p.dev(name) + .54*p.own[g, name]

    def shifts(p, g):
        k, out = p.k, {}
        b = k.groups[g]; pn = k.set['p_norm']
        for a, rows in k.shift[g].items():
            q = pn.get(a, 2.0 if a in SPREADS else 1.3); up = np.zeros(p.n); down = np.zeros(p.n)
            for i, m, sd in rows:
                j = np.flatnonzero(p.has[:, i])
                if a in CHANCES:
                    up[j] = 1-(1-up[j])*(1-m); continue
                if (i, a) not in p.size: p.size[i, a] = p.rng.standard_normal(p.n)
                v = m + sd*p.size[i, a][j]
                if a == 'low_point': v = v*b['low_point_scale']
                if a in SPREADS: v = np.maximum(v, 0)
                up[j] += np.maximum(v, 0)**q; down[j] += np.maximum(-v, 0)**q
            out[a] = up if a in CHANCES else up**(1/q) - down**(1/q)
        return out

    def axes(p, g):
        k, b, S = p.k, p.k.groups[g], p.k.set
        t_ = p.shifts(g); zero = np.zeros(p.n); t = lambda a: t_.get(a, zero)
        R, th0 = num(b['radius'])*1000, num(b['plane'])*DEG; teed = num(b['tee']) > 0
        o = {}; s0 = b['low_point']['usual']; arc = 25.4/R/DEG
        s = o['low_point'] = s0 + b['low_point']['golfers']*p.mixed(g, 's') + t('low_point')
        tilt = o['plane'] = 2*p.dev('plane') + t('plane'); th = th0 + tilt*DEG
        swing_own = b['swing_direction']['golfers']*p.mixed(g, 'sw')
        sw = o['swing_direction'] = b['swing_direction']['usual'] + swing_own + t('swing_direction') - S['reaim']*(s-s0)*arc*np.cos(th0)
        path = o['club_path'] = sw + s*arc*np.cos(th); att = o['attack_angle'] = -s*arc*np.sin(th); att0 = -s0*arc*np.sin(th0)
        lie = o['lie_at_impact'] = 1.1*p.dev('lie') + t('lie_at_impact')
        dl = o['dynamic_loft'] = b['loft_off']['golfers']*p.mixed(g, 'loft') + t('dynamic_loft')
        L0 = num(b['static_loft']) + b['loft_off']['usual']; L = o['delivered_loft'] = np.clip(L0+dl, 5, 65)
        o['face_angle'] = (b['face_angle']['usual'] + b['face_angle']['golfers']*p.mixed(g, 'face') + .25*swing_own + t('face_angle')
                           - .8*np.arctan(np.tan(L*DEG)*np.sin(lie*DEG))/DEG + S['face_follows']*(1-S['reaim'])*(path-sw-s0*arc*np.cos(th0)))
        o['face_to_path'] = o['face_angle']-path
        o['strike_across'] = b['strike_across']['usual'] + b['strike_across']['golfers']*p.mixed(g, 'across') + t('strike_across')
        o['club_speed'] = b['club_speed']['golfers']*p.dev('speed') + t('club_speed')
        o['bounce'] = 6.5 + 2.3*p.dev('bounce') + t('bounce') + .35*(dl + att - att0)
        grass = o['grass_tolerance'] = np.maximum(1.5 + t('grass_tolerance'), .2)
        o['spin_loft'] = t('spin_loft'); o['strike_up'] = t('strike_up')
        if teed:
            if (g, 'fh') not in p.own: p.own[g, 'fh'] = p.rng.standard_normal(p.n)
            o['strike_up'] = t('strike_up') + 2.5*p.own[g, 'fh']
        for a, name in (('friction_lost', 'u1'), ('response', 'u2')):
            u = p.dev(name); o[a] = ((cdf(u) < t(a)) | (u > 2.17)).astype(float)
        for a, key, name in (('low_point_spread', 'low_point', 'xs'), ('arc_height_spread', 'arc_height', 'xh'), ('swing_direction_spread', 'swing_direction', 'xw'),
                             ('face_angle_spread', 'face_angle', 'xf'), ('strike_across_spread', 'strike_across', 'xt'), ('club_speed_spread', 'club_speed', 'xv')):
            f = 1.3 if teed and a == 'arc_height_spread' else 1.0
            o[a] = np.hypot(b[key]['shots']*np.exp(.18*p.dev(name)), f*t(a))
        cmin = num(b['clean_from'])
        def best(s_mm, L, K, grass):
            if teed: return np.maximum(14 - s_mm**2/(2*K), 2)
            x = -BALL*np.tan(np.pi/4-L*DEG/2); clean = BALL*(1-np.sin(L*DEG)) - cmin*np.cos(L*DEG)
            up = clean-(s_mm-x)**2/(2*K); lo = -grass-np.maximum(s_mm-x+6, 0)**2/(2*K)
            return lo + .5*np.minimum(up-lo, 7.5)
        K = R/np.sin(th); s_mm = s*25.4; h_best = best(s_mm, L, K, grass); want = best(s0*25.4, L0, R/np.sin(th0), 1.5) - h_best
        raw = t('arc_height') + S['hub_to_height']*t('hub_height') + S['radius_to_height']*t('radius_lost')
        reg = np.clip(S['regulation'][0]+S['regulation'][1]*p.dev('reg'), .1, .9)*(.7 if teed else 1)
        o['arc_height'] = h_best + b['arc_height']['usual'] + b['arc_height']['golfers']*p.mixed(g, 'h') + (1-reg)*raw + (1-np.where(want > 0, 1.0, .35)*reg)*want; o['rescued'] = reg*raw
        r = S['rescue']; held = np.where(want < 0, r[1], r[2])*want
        o['arc_height_spread'] = np.sqrt(o['arc_height_spread']**2 + (r[0]*reg*raw)**2 + held**2)
        o['usual'] = dict(p.usual(g), dynamic_loft=0.0, club_speed=0.0, spin_loft=0.0)
        return o

    def usual(p, g):
        """axes of the usual golfer that symptoms count from"""
        b = p.k.groups[g]; R, th0 = num(b['radius'])*1000, num(b['plane'])*DEG; s0 = b['low_point']['usual']
        L0 = num(b['static_loft']) + b['loft_off']['usual']
        return dict(delivered_loft=L0, attack_angle=-s0*25.4/R*np.sin(th0)/DEG)


def soft(x): return 1/(1+np.exp(-1.702*x))


def rates(p, g, o, rng):
    """shares of events over this golfer's shots, one random shot after another"""
    k, b = p.k, p.k.groups[g]; n = p.n; M = SHOTS+POOR; teed = num(b['tee']) > 0
    tail, tf_ = b['poor_swings']['share'], b['poor_swings']['factor']
    w = np.r_[np.full(SHOTS, (1-tail)/SHOTS), np.full(POOR, tail/POOR)]
    tf = np.r_[np.ones(SHOTS), np.full(POOR, tf_)]; root = np.sqrt(tf)
    z = rng.standard_normal((7, n, M)).astype(np.float32)
    for a in (slice(0, SHOTS), slice(SHOTS, M)):      # each golfer's ordinary and poor shots centred and scaled: less noise, same mean
        z[..., a] -= z[..., a].mean(-1, keepdims=True); z[..., a] /= z[..., a].std(-1, keepdims=True)
    c = lambda a: np.asarray(o[a])[:, None].astype(np.float32)
    R = num(b['radius'])*1000; th0 = num(b['plane'])*DEG; th = th0 + c('plane')*DEG; bend = np.sin(th)/(2*R)
    ds = c('low_point_spread')*25.4*z[0]*root; s = c('low_point')*25.4 + ds
    hs = np.maximum(c('arc_height_spread'), .2)
    h = c('arc_height') + np.where(tf > 1, 1.6*b['arc_height']['shots'] + c('rescued'), 0) + hs*tf*z[1]
    dsw = c('swing_direction_spread')*z[2]; sw = c('swing_direction') + dsw
    own = np.sqrt(np.maximum(c('face_angle_spread')**2-(.4*c('swing_direction_spread'))**2, 1))
    face = c('face_angle') + .4*dsw + .9*np.cos(th0)/R/DEG*ds + own*z[3]
    L = c('delivered_loft') + b['loft_off']['shots']*z[4]; Lr = L*DEG; sin, cos, tan = np.sin(Lr), np.cos(Lr), np.tan(Lr)
    across = c('strike_across') + c('strike_across_spread')*z[5]*root
    att = -s*np.sin(th)/R/DEG; path = sw + s*np.cos(th)/R/DEG; v = 1+c('club_speed')/100
    mean = lambda x: (np.broadcast_to(x, (n, M))*w).sum(1)
    F = {}; usual = p.usual(g); bounce = c('bounce')
    cmin = num(b['clean_from']); band, mid = b['strike_up']['band'], b['strike_up']['usual']; kick0 = num(b['kick'])
    if not teed:
        digs = soft((2-bounce)/.8); g0 = c('grass_tolerance'); grass = g0 + digs*(np.minimum(g0, .5)-g0); dig = 1-.75*digs
        skid = .79*soft(bounce-12); stuck = soft((3.5-bounce)/.8)
        xc = -BALL*np.tan(np.pi/4-Lr/2); x = xc
        for _ in range(4): x = xc - (h+(x-s)**2*bend)*tan
        zk = h+(x-s)**2*bend
        whiff = h+s*s*bend > 2*BALL; top = (h+(BALL+s)**2*bend > BALL) & ~whiff; air = ~(whiff | top)
        d = -h-grass; l = np.sqrt(np.maximum(d, 0)/bend); T = np.where(d > 0, np.maximum(0, np.minimum(x, s+l)-(s-l)), 0)
        fat_ = (T > num(k.set['fat_from'])*dig) & air; any_ = (T > num(k.set['heavy_from'])*dig) & air; hv_ = any_ & ~fat_
        tb = BALL*(1-sin); tc = tb-cmin*cos; clean = (zk <= tc) & ~any_ & air; thin_ = air & ~any_ & ~clean; blade_ = thin_ & (zk > tb)
        fat, hv = fat_*(1-skid), hv_*(1-skid); thin = thin_ + skid*any_; blade = blade_ + np.where(L > 38, skid*any_, 0)
        F.update(whiff=whiff, topped=top, fat=fat, slightly_heavy=hv, clean=clean, thin=thin, bladed=blade,
                 turf_before=(T > 10) & air, hidden_by_mat=any_*(T < 75)*(1-skid), skidded=skid*((T > 2) & air),
                 stuck=np.where(h < -12, 1, stuck*(fat+hv)), clean_off_tee=(zk < tc+12) & (zk > tc-8) & (h > -14))
        start = s-l; before = (d > 0) & (start < 0) & air
        kick = np.where(zk <= tc, kick0, .4*kick0); slope = (kick-att)*DEG; z0 = h+s*s*bend; deepest = np.where(slope > 0, slope**2/(4*bend), -99)
        by = lambda x_: np.where(2*bend*x_ >= slope, deepest, x_*slope-x_*x_*bend)
        after = ~before & air & (slope > 0); seen = after & (deepest-z0 > 2)
        lv = seen & (z0 < by(12)-1.5); ah = seen & ~lv & (z0 < by(110)-1.5); fa = seen & ~lv & ~ah
        far = before & (start < -50); near = before & (start >= -50) & (start < -12); level = (before & (start >= -12)) | lv
        none = ~(far | near | level | ah | fa); deep_a = after & (deepest-z0 > 17); deep = (before & (h < -7.7)) | deep_a
        F.update(mark_far_behind=far, mark_behind=near, mark_level=level, mark_ahead=ah, mark_far_ahead=fa, no_mark=none, deep_mark=deep,
                 shallow_mark=after & (deepest-z0 > 1) & (deepest-z0 < 6),
                 stabbed=np.maximum(stuck*np.minimum(fat+hv+deep_a, 1), deep*(att < -5.5)))
        m = np.select([far, near, level, ah, fa], [-80, -30, 0, 45, 120], 60.0); F['mark_start_spread'] = ('sd', m)
        fdev = (tb-zk)/cos - mid + c('strike_up'); F['high_face'] = fdev > band; F['low_face'] = fdev < -band; is_thin = zk > tc; sky = 0
    else:
        tee = num(b['tee']); curve = (12+s)**2*bend; up = (tee+BALL*(1-sin)-curve-h)/cos - 29 + c('strike_up'); zk = h+curve
        whiff = zk > tee+2*BALL; top = (zk > tee+.9*BALL) & ~whiff; air = ~(whiff | top)
        ground = air & (h < -1-np.maximum(s+20, 0)**2*bend); thin = air & ~ground & (up < -15); blade = thin & (up < -25); sky = air & ~ground & (up > 20)
        clean = air & ~ground & ~thin & ~sky; fat = ground & (h < -7); hv = ground & ~fat
        F.update(whiff=whiff, topped=top, fat=fat, slightly_heavy=hv, clean=clean, clean_off_tee=clean, thin=thin, bladed=blade, sky=sky, drop_kick=ground,
                 scuff_behind_tee=ground, turf_before=ground, crown_mark=up > 18, tee_standing=zk > tee)
        fdev = up-mid; F['high_face'] = fdev > band; F['low_face'] = fdev < -band; is_thin = up < -15; F['mark_start_spread'] = ('sd', np.zeros((n, M)))
    # launch
    lau = lambda L_, a_: a_ + np.clip(.88-.004*L_, .6, .9)*(L_-a_)
    per = .25 if teed else .12; la = lau(L, att) + np.clip(fdev, -10, 14)*per
    q = la - 3*is_thin - lau(usual['delivered_loft'], usual['attack_angle']) + 25*(v-1)
    low = air & (q < -4); F['too_low'] = low | (np.asarray(blade) > .5); F['too_high'] = air & (q > 4); F['worm'] = (air & (q < -9)) | top
    F['launch_spread'] = ('sd', la)
    S0 = usual['delivered_loft']-usual['attack_angle']; S_mean = o['delivered_loft'] + o['low_point']*25.4*np.sin(th[:, 0])/R/DEG + o['spin_loft']
    spin = (S_mean-S0)/S0; lf = mean(F['low_face']); much = soft((spin-.28)/.06); more = soft((spin+(.18 if teed else .09)-.28)/.06)
    F['balloons'] = ('rate', (much+(more-much)*lf)*mean(air & (q < 6) & (q > -3))); F['dives'] = ('rate', soft((-.3-spin)/.06)*mean(air & (q < -3)))
    # direction
    S = np.maximum(L-att+c('spin_loft'), 4); share = np.clip(.96-.0071*S, .55, .9)*.9; ftp = face-path
    gt, gs = (-.45, .09) if teed else (-.28, .04) if num(b['static_loft']) < 18 else (-.08, 0)
    st = path+share*ftp + gs*across + (.12*np.maximum(across-14, 0) if gs < .01 else 0)
    tilt = np.arctan(np.sin(np.clip(ftp, -89, 89)*DEG)/np.sin(S*DEG))/DEG + gt*across
    lay = tilt*.0078*np.clip(v, .7, 1.1); off = st*DEG + lay
    D = dict(starts_push=st > 3, starts_pull=st < -3, curve_push_big=lay > .07, curve_push_mild=(lay > .025) & (lay <= .07), curve_pull_big=lay < -.07,
             curve_pull_mild=(lay < -.025) & (lay >= -.07), push_straight=(st > 2.5) & (np.abs(lay) < .03), pull_straight=(st < -2.5) & (np.abs(lay) < .03),
             push_slice=(st > 2) & (lay > .045), pull_fade=(st < -2) & (lay > .03), online_slice=(np.abs(st) <= 2.5) & (lay > .06), push_hook=(st > 2) & (lay < -.03),
             online_hook=(np.abs(st) <= 2.5) & (lay < -.06), pull_hook=(st < -2) & (lay < -.04), miss_push=off > .07, miss_pull=off < -.07)
    F.update({a: x & air for a, x in D.items()})
    neck = 40 if teed else 33 if num(b['static_loft']) < 18 else 30
    F.update(heel=across < -8, toe=across > 8, centre=np.abs(across) < 10, shank=(across < -neck) & ~whiff)
    edge, wide = num(b['playable']['strike']), b['playable']['offline']
    F['playable'] = clean & (np.abs(across) < edge) & (np.abs(off) < wide)
    out = {}
    for a, x in F.items():
        if isinstance(x, tuple):
            out[a] = x[1] if x[0] == 'rate' else np.sqrt(np.maximum(mean(x[1]**2)-mean(x[1])**2, 0))
        else: out[a] = mean(x)
    for a in ('starts_push', 'miss_push'): out[a] = out[a]*(1-out['shank']) + out['shank']
    off12, off26, toe12 = mean(np.abs(across) > 12), mean(np.abs(across) > 26), mean(across > 12); thin1 = np.maximum(out['thin']-out['bladed'], 0)
    sky_r = out.get('sky', 0)
    out['sting'] = out['bladed'] + thin1*toe12
    out['short_by_mishit'] = out['fat'] + sky_r + out['bladed'] + out['topped'] + out['whiff'] + (out['slightly_heavy']+thin1)*off12 + out['clean']*off26
    out['flyer'] = o['friction_lost']*out['clean']*.27
    parts = [(out['fat']+sky_r, .5), (out['slightly_heavy'], .88), (thin1, .88), (out['bladed'], .73), (out['topped']+out['whiff'], .25), (out['clean'], 1.0)]
    c1 = sum(a*x for a, x in parts); c2 = sum(a*x*x for a, x in parts); m = np.maximum(c1, .05)
    loss = .0011*np.maximum(np.hypot(o['strike_across'], o['strike_across_spread'])-3, 0)**1.6*(.55 if teed else 1)
    out['carry_spread'] = np.sqrt(np.maximum(c2-c1*c1, 0)/m**2 + (o['club_speed_spread']/100)**2 + np.minimum(loss, .3)**2)
    out['solid_carry'] = 1+o['club_speed']/100 - .004*np.abs(o['delivered_loft']-usual['delivered_loft']) - np.where(o['spin_loft'] < -2, .04, 0)
    return out


def shows(seen, r, o):
    n = len(r['clean']); add = lambda d: sum(w*r.get(e, np.zeros(n)) for e, w in d.items())
    kind, v = next(iter(seen.items()))
    if kind == 'events': x = add(v)
    elif kind == 'both': x = 2*np.minimum(add(v[0]), add(v[1]))
    elif kind == 'one_sided': a, b = r[v[0]], r[v[1]]; x = np.maximum(a, b)-3*np.minimum(a, b)
    elif kind == 'more': x = add(v[0])-add(v[1])
    elif kind == 'scaled': e, (f, c) = next(iter(v.items())); x = r.get(e, np.zeros(n))*f+c
    elif kind == 'power': e, f = next(iter(v.items())); x = r[e]**f
    elif kind == 'blend': x = sum(w*shows(s, r, o) for w, s in v)
    elif kind == 'beyond':
        v = dict(v); blur = num(v.pop('blur')); rel = v.pop('against', None) == 'usual'
        a, text = next(iter(v.items())); way, limit = text.split()[:2]; over = o[a]-float(limit)-(o['usual'][a] if rel else 0)
        x = cdf((over if way == 'above' else -over)/max(blur, 1e-3))
    return np.clip(x, 0, 1)


TRUST = dict(high=.92, medium=.85, low=.70)


class Reports:
    """chance of a mention, given rates"""
    def __init__(R, k, rng, n=6000):
        R.k = k; R.calm = Golfers(k, n, rng, calm=True); R.rows = {}; R.half = {}; R.rng = rng

    def curve(R, s, rate, half):
        S = R.k.set; rel = TRUST[s['trust']]; floor = min(max(S['floor']*S['usual_scale']*s['usual'], .02), rel)
        x = (rate/half)**2.4; return floor + (rel-floor)*x/(1+x)

    def half_rate(R, g, sid):
        if (g, sid) not in R.half:
            if g not in R.rows:
                o = R.calm.axes(g); R.rows[g] = (rates(R.calm, g, o, R.rng), o)
            s = R.k.symptoms[sid]; rate = shows(s['from'], *R.rows[g]); u = rate.mean(); least = .06 if s.get('disaster') else .15
            lo, hi = max(1.3*u, least), max(2.6*u, least)
            for _ in range(30):
                m = .5*(lo+hi)
                if R.curve(s, rate, m).mean() > s['usual']: lo = m
                else: hi = m
            R.half[g, sid] = min(.5*(lo+hi), .65)
        return R.half[g, sid]

    def chance(R, p, g, sid, r, o):
        s = R.k.symptoms[sid]; S = R.k.set; leak = S['usual_scale']*s['usual']
        geo = s.get('from'); x = R.curve(s, shows(geo, r, o), R.half_rate(g, sid)) if geo else np.full(p.n, leak)
        tells = s.get('tells') or {}
        for c, lr in tells.items():
            if lr > 1:
                a = np.clip((min(s['usual']*lr, .95)-leak)/(1-leak), 0, 1); x = np.where(p.has[:, R.k.at[c]], 1-(1-x)*(1-a), x)
        for c, lr in tells.items():
            if lr < 1: x = np.where(p.has[:, R.k.at[c]], x*lr, x)
        if s.get('not_a_habit'):
            j = [i for i in R.k.habit if R.k.ids[i] not in tells]; x = np.where(p.has[:, j].any(1), x*.6, x)
        return x

    def visible(R, g, sid):
        clubs = R.k.symptoms[sid].get('clubs')
        fam = R.k.groups[g]['family']
        return not clubs or any(w in ('all', g, fam) for w in clubs)

    def common(R, g):
        return [sid for sid, s in R.k.symptoms.items() if s.get('from') and s['usual'] >= .08 and R.visible(g, sid)]


def yes_chance(k, p, cid):
    tells = k.checks[cid]['tells']; base = np.mean([w for _, w in tells.values()]); no = np.full(p.n, 1-base)
    for c, (a, w) in tells.items():
        if a >= w: no = np.where(p.has[:, k.at[c]], no*(1-a)/(1-w), no)
    yes = 1-no
    for c, (a, w) in tells.items():
        if a < w: yes = np.where(p.has[:, k.at[c]], yes*a/w, yes)
    return np.clip(yes, .005, .995)


def answers_yes(k, R, p, cid, g, r, o):
    """a question that looks for a symptom is answered as a report of it; others by the causes they tell of"""
    c = k.checks[cid]; s = c.get('finds')
    if not s: return yes_chance(k, p, cid)
    fam = k.groups[g]['family']; fits = not c.get('clubs') or any(w in ('all', g, fam) for w in c['clubs'])
    return R.chance(p, g, s, r, o) if fits and R.visible(g, s) else np.zeros(p.n)


LETTER = dict(zip('WSMLHFD', ORDER))
OFTEN = dict(always=.85, mostly=.75, half=.5, often=.5, sometimes=.3)
NUMBERS = dict(attack=('attack_angle', 1.2), s=('low_point', .9), path=('club_path', 1.6), face=('face_angle', 1.8), ftp=('face_to_path', 1.8),
               sp=('club_speed', 5.0), loft=('delivered_loft', 2.5))


def sets():
    for line in open(os.path.join(HERE, 'sets.txt')):
        if line.startswith('#') or not line.strip(): continue
        nr, text, _ = line.split('|'); g = None; ev = []
        for part in text.replace(';', ',').split(','):
            part = part.strip()
            m = re.match(r'([WSMLHFD]):\s*(.*)', part)
            if m: g, part = LETTER[m[1]], m[2]
            if part.startswith('check '): _, c, a = part.split(); ev.append(('check', 'ask_' + c.split('_', 1)[1], a == 'yes'))
            elif '=' in part: q, x = part.split('='); ev.append(('number', g, *NUMBERS[q], float(x)))
            else:
                there = not part.startswith('no '); w = part.removeprefix('no ').split(); ev.append(('symptom', g, w[0], there, OFTEN[w[1]] if len(w) > 1 else None))
        yield nr, text.strip(), ev


def judge(total, seed, only=()):
    k = Knowledge(); rng = np.random.default_rng(seed); R = Reports(k, rng); cases = [c for c in sets() if not only or c[0] in only]; chunk = 4000
    at_file = os.path.join(HERE, 'posteriors.tsv'); old = {l.split('\t')[0]: l for l in open(at_file) if not l.startswith('#')} if only else {}
    S = {nr: np.zeros((4, len(k.ids))) for nr, *_ in cases}; one = {nr: np.zeros(3) for nr, *_ in cases}
    t0 = time.time()
    for at in range(0, total, chunk):
        p = Golfers(k, chunk, rng); row = {}; memo = {}
        def rows(g):
            if g not in row: o = p.axes(g); row[g] = (rates(p, g, o, rng), o)
            return row[g]
        def chance(g, sid):
            if (g, sid) not in memo: memo[g, sid] = np.clip(R.chance(p, g, sid, *rows(g)), 1e-9, 1-1e-9)
            return memo[g, sid]
        def silence(g):
            if ('silence', g) not in memo: memo['silence', g] = sum(np.log(1-chance(g, sid)) for sid in R.common(g))
            return memo['silence', g]
        for nr, _, ev in cases:
            ll = np.zeros(chunk); said = {}
            for e in ev:
                if e[0] == 'check':
                    y = yes_chance(k, p, e[1]); ll += np.log(y if e[2] else 1-y)
                elif e[0] == 'number':
                    _, g, a, err, x = e; d = (rows(g)[1][a]-x)/err; ll += -6.5*np.log(1+d*d/12)
                else:
                    _, g, sid, there, often = e
                    if not R.visible(g, sid): continue
                    said.setdefault(g, set()).add(sid); c = chance(g, sid)
                    ll += np.log(c) if there else k.set['denial']*np.log(1-c)
                    if there and often:
                        lo = lambda x: np.log(np.clip(x, .01, .99)/(1-np.clip(x, .01, .99)))
                        geo = k.symptoms[sid].get('from')
                        if geo: ll += -.5*((lo(often)-lo(shows(geo, *rows(g)))-k.set['often'][1])/k.set['often'][0])**2
            for g, ids in said.items():
                com = set(R.common(g)); ll += k.set['silence']*min(len(ids)/12, 1)*(silence(g)-sum(np.log(1-chance(g, x)) for x in ids if x in com))
            w = np.exp(ll+20); wz = w@p.has; w2z = (w*w)@p.has
            S[nr][0] += wz; S[nr][1] += w2z; one[nr] += (w.sum(), (w*w).sum(), chunk)
        if at % (chunk*10) == 0: print(at, round(time.time()-t0), 's', flush=True)
    with open(at_file, 'w') as f:
        f.write(f'# number, golfers, effective golfers, then cause:probability:standard error; python3 population.py judge {total} {seed}\n')
        for nr, *_ in sets():
            if nr not in one:
                f.write(old.get(nr, '')); continue
            W, W2, n = one[nr]; pr = S[nr][0]/W; ess = W*W/W2
            se = np.sqrt((S[nr][1]*(1-pr)**2 + (W2-S[nr][1])*pr**2))/W
            cells = [f'{k.ids[i]}:{pr[i]:.4f}:{se[i]:.4f}' for i in np.argsort(-pr) if pr[i] > .01]
            f.write('\t'.join([nr, f'{n:.0f}', f'{ess:.0f}'] + cells) + '\n')


def golfers(count, seed):
    """golfers with a club group and what they report: the salient symptoms first, some left out, numbers of frequency left out"""
    k = Knowledge(); rng = np.random.default_rng(seed); R = Reports(k, rng)
    with open(os.path.join(HERE, 'golfers.tsv'), 'w') as f:
        f.write(f'# group, causes, symptoms mentioned in the order they come to mind, checks answered yes if all were asked; python3 population.py golfers {count} {seed}\n')
        per = count//len(ORDER) + 1
        for g in ORDER:
            p = Golfers(k, per, rng); o = p.axes(g); r = rates(p, g, o, rng); ids = [s for s in k.symptoms if R.visible(g, s)]
            C = np.array([R.chance(p, g, s, r, o) for s in ids]).T; said = rng.random(C.shape) < C
            usual = np.array([k.symptoms[s]['usual'] for s in ids]); order = np.log(C/usual) + rng.gumbel(size=C.shape)
            Y = np.array([answers_yes(k, R, p, c, g, r, o) for c in k.checks]).T; yes = rng.random(Y.shape) < Y; cids = list(k.checks)
            for i in range(per):
                m = [j for j in np.argsort(-order[i]) if said[i, j]][:10]
                f.write('\t'.join([g, ' '.join(k.ids[c] for c in np.flatnonzero(p.has[i])), ' '.join(ids[j] for j in m), ' '.join(str(j) for j in np.flatnonzero(yes[i]))]) + '\n')


if __name__ == '__main__':
    what = sys.argv[1]; n = int(sys.argv[2]) if len(sys.argv) > 2 else 1_000_000; seed = int(sys.argv[3]) if len(sys.argv) > 3 else 1
    if what == 'judge': judge(n, seed, sys.argv[4].split(',') if len(sys.argv) > 4 else ())
    else: golfers(n, seed)
