"""Plants that people know and the handbook may lack: named in a message, they must not be passed over in silence.

The list only says that a word is a plant. One that has an entry in the handbook is found there first.
"""

from __future__ import annotations

PLANTS = frozenset(
    """
    abelia abutilon acacia acanthus acer achimenes actaea adonis aeonium agave ageratum ajuga alder alkanet aloe alyssum amelanchier andromeda
    angelica anise apricot araucaria arbutus armeria arnica artemisia artichoke arum asarum ash asphodel aubrieta aubretia aucuba azalea
    balsam bamboo banana banksia baptisia basil bayberry bearberry begonia begonias bergamot bergenia betony bindweed birch blackberry blackthorn
    bluebonnet bluestem borage bottlebrush bougainvillea bramble broccoli bromeliad brugmansia brunnera bryony buckthorn buddleia bugle bulrush burdock buttercup
    cabbage cactus caladium camellia camellias camomile campion candytuft canna cannabis cardoon carob catalpa catmint catnip ceanothus cedar celandine
    centaurea cestrum chestnut chicory chives choisya chokeberry cineraria cistus citronella clarkia cleome clivia clover coleus
    columbine comfrey coneflower coreopsis cornus corydalis cotoneaster cowslip crassula croton crocus crocuses cuphea currant cyclamen cypress
    dandelion daphne datura daylily deutzia dicentra dieffenbachia digitalis dracaena dumbcane echeveria edelweiss elder elderflower elm epimedium escallonia eupatorium euphorbia
    fatsia ferula fescue feverbush ficus fig firethorn foxglove foxgloves fuchsia fuchsias
    gaillardia galanthus garlic gaura gazania genista geranium geraniums germander gesneria geum gooseberry gorse groundsel gunnera gypsy
    hawthorn hazel heliotrope hemlock hemp hepatica heuchera hibiscus hollyhock hollyhocks honesty honeysuckle hop horehound hornbeam horsetail hosta houseleek hyssop
    impatiens indigo ipomoea ixora jacaranda jade jasmine jasmin juniper kalanchoe kalmia kerria knapweed kniphofia laburnum lamium lantana larch lemongrass lewisia
    liquorice lobelia lobelias loosestrife lotus lovage lungwort lupine lychnis mahonia mallow mandrake mangrove maple marjoram medlar melianthus mimulus mistletoe
    mombretia monarda mugwort mulberry mullein myosotis nasturtium nasturtiums nemesia nemophila nettle nettles nicotiana nightshade ocotillo oleander oleanders
    oregano osmanthus osteospermum oxalis oxeye pachysandra pansy pansies parsley passionflower pelargonium penstemon peppermint periwinkle persicaria petunia petunias
    philodendron photinia pieris pimpernel plumbago plumeria poinsettia poinsettias polyanthus poplar portulaca potentilla primrose primroses primula primulas privet pyracantha
    quince radish ragwort raspberry redbud redwood rhododendron rhododendrons rhubarb rowan rue rush saffron salvia samphire santolina sarcococca sassafras saxifrage schefflera
    scilla sedum sempervivum sequoia shamrock skimmia snakeroot snowdrop snowdrops sorrel spearmint speedwell spiderwort spinach spruce squill stonecrop strawberry
    succulent succulents sumac sunrose sycamore tamarisk tansy tarragon thistledown thlaspi thrift thyme tiarella tibouchina toadflax tobacco tradescantia
    verbena vervain vetch vinca violet violets wallflower wallflowers walnut water-lily weigela wisteria witch-hazel wolfsbane woodruff wormwood yarrow yew yucca zantedeschia
    """.split()
)

# Names of several words, one of which would else be read as a colour or as another plant.
PHRASES = (
    "red hot poker", "red hot pokers", "lambs ear", "lamb's ear", "lamb's ears", "lambs ears", "bleeding heart", "bleeding hearts", "busy lizzie",
    "busy lizzies", "spider plant", "peace lily", "peace lilies", "rubber plant", "money plant", "day lily", "day lilies", "water lily", "water lilies",
    "lady's slipper", "jacob's ladder", "london pride", "creeping jenny", "golden rain", "blue poppy", "himalayan poppy", "globe flower", "evening primrose",
    "angel's trumpet", "angels trumpet", "deadly nightshade", "giant hogweed", "poison ivy", "venus flytrap",
)  # fmt: skip
